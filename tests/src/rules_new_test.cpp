// `perrev rules new`, seen from outside: by options, by answers fed to it, and when it is refused.
#include <doctest/doctest.h>

#include <algorithm>
#include <csignal>
#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "src/files.h"
#include "tests/src/run_perrev.h"

using namespace perrev;
using namespace perrev::test;
using Json = nlohmann::json;
namespace fs = std::filesystem;

namespace {

using Arguments = std::vector<std::string>;

// A copy of the shipped rule base, to be written to.
class Shop {
 public:
  Shop() { fs::copy(project("rules"), folder.path("rules"), fs::copy_options::recursive); }

  Ran run(const Arguments& what, const std::string& input = {}) const {
    Arguments all = {"rules", "new"};
    all.insert(all.end(), what.begin(), what.end());
    all.insert(all.end(), {"--rules", folder.path("rules")});
    return run_perrev(all, input);
  }
  // Every file below the folder, with its bytes.
  std::map<std::string, std::string> bytes() const {
    std::map<std::string, std::string> out;
    for (const auto& each : fs::recursive_directory_iterator(folder.path("")))
      if (each.is_regular_file()) out[each.path().string()] = read_whole(each.path().string());
    return out;
  }

  Folder folder;
};

bool contains(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

Arguments operator+(Arguments a, const Arguments& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

const Arguments kFact = {"fact",  "hanger_torn", "--ask", "Is a hanger torn?", "--kind",
                         "yesno", "--base",      "0.03",  "--asked-at",        "bay"};
const Arguments kCause = {"cause",      "exhaust_swings",
                          "--name",     "The exhaust swings",
                          "--family",   "engine",
                          "--usual",    "3",
                          "--repair",   "free_exhaust",
                          "--proof",    "No knock.",
                          "--shown-by", "bay"};
const Arguments kNewRepair = {
    "--repair", "renew_hangers",  "--repair-what", "Renew them",     "--repair-minutes",
    "25",       "--repair-parts", "small",         "--repair-proof", "No knock."};
const Arguments kRule = {
    "rule",      "said",      "--when",   "under_car:bangs", "--for", "static_imbalance:some",
    "--because", "It bangs.", "--origin", "from memory"};

// What a person types for a cause, up to where it is written.
const char* const kTyped =
    "exhaust_swings\n"                          // its name
    "The exhaust swings\n"                      //
    "engin\nengine\n"                           // a near word, then the family
    "back\nengine\n"                            // asked for the family again
    "rare\n"                                    //
    "engine: 2\n\n"                             // one a line
    "powertrain: engine, hybrid\n\n"            //
    "? exhaust\nfree_exhuast\nrenew_hangers\n"  // a repair that is not there
    "No knock.\n\n1\n"                          // proof, no caution, shown by its number
    "Renew the hangers\n25\nsmall\nNo knock.\nHot.\n"
    "yes\n\nsome\n"  // a first rule, its name as proposed
    "under_car: banks\nunder_car: bangs\n\n\n"
    "It bangs.\nfrom memory\nmy_shop\n";

}  // namespace

TEST_CASE("everything by options: what was missing is told, all of it") {
  const Shop shop;
  const auto before = shop.bytes();
  const Ran ran = shop.run({"cause", "exhaust_swings", "--usual", "3"});
  CHECK(ran.code == 2);
  for (const char* option : {"--name", "--family", "--repair", "--proof"})
    CHECK(contains(ran.err, std::string("  ") + option + " "));
  CHECK(!contains(ran.err, "--usual"));
  CHECK(contains(shop.run({"fact", "x", "--kind", "one"}).err, "  --answers "));
  CHECK(contains(shop.run({"fact", "x", "--kind", "number"}).err, "  --range "));
  CHECK(contains(shop.run({"rule", "x", "--when", "heard:clunk"}).err, "  --for "));
  CHECK(contains(shop.run({"check"}).err, "  NAME "));
  CHECK(contains(shop.run({"cause", "x", "--repair", "new_one"}).err, "  --repair-what "));
  CHECK(shop.bytes() == before);
}

TEST_CASE("what does not fit is told with the near word, and nothing is written") {
  const Shop shop;
  const auto before = shop.bytes();
  const std::pair<Arguments, const char*> rows[] = {
      {{"--family", "engin"}, "--family: there is no \"engin\" here; did you mean 'engine'?"},
      {{"--needs", "powertrian: engine"}, "did you mean 'powertrain'?"},
      {{"--needs", "powertrain: engines"}, "did you mean 'engine'?"},
      {{"--shakes", "engine"}, "--shakes: \"engine\" has no order"},
      {{"--shown-by", "bays"}, "did you mean 'bay'?"},
      {{"--usual", "often"}, "'usual' of cause 'exhaust_swings'"},
      {{"--name", "two\nlines"}, "--name: the text goes over more than one line"},
      {{"--seen", "heard: clunks"}, "--seen: "},
  };
  for (const auto& [change, told] : rows) {
    Arguments arguments;
    for (std::size_t i = 0; i < kCause.size(); ++i)
      if (kCause[i] == change[0])
        ++i;
      else
        arguments.push_back(kCause[i]);
    const Ran ran = shop.run(arguments + change +
                             Arguments{"--yes", "--case-out", shop.folder.path("case.json")});
    CAPTURE(change[1]);
    CAPTURE(ran.err);
    CHECK(ran.code == 2);
    CHECK(contains(ran.err, told));
  }
  CHECK(contains(shop.run({"cause", "static_imbalance"}).err, "is there already"));
  CHECK(contains(shop.run({"cause", "Static"}).err, "is no id"));
  CHECK(contains(
      shop.run({"fact", "x", "--ask", "?", "--kind", "one", "--answers", "a:A", "--answers", "b:B",
                "--base", "a:0.5", "--base", "b:0.6", "--asked-at", "bay", "--yes"})
          .err,
      "sums to 1.1"));
  CHECK(shop.bytes() == before);
}

TEST_CASE("without --yes and without a terminal it shows and does not write") {
  const Shop shop;
  const auto before = shop.bytes();
  const Ran ran = shop.run(kFact);
  CHECK(ran.code == 1);
  CHECK(contains(ran.out, "rules/facts.yaml, after line "));
  CHECK(contains(ran.out, "  + hanger_torn:\n  +   ask: Is a hanger torn?\n"));
  CHECK(contains(ran.out, "with --yes it is"));
  CHECK(shop.bytes() == before);
}

TEST_CASE("a cause joins its repair, or brings it; the case is written where it was asked for") {
  const Shop shop;
  const std::string file = shop.folder.path("cases/swings.json");
  const Ran ran = shop.run(kCause + Arguments{"--seen", "heard: clunk, drone", "--seen",
                                              "ball_joint_play: yes", "--case-out", file, "--yes"});
  CAPTURE(ran.err);
  CHECK(ran.code == 0);  // its folder is made
  CHECK(contains(ran.out, "  +   cures: [exhaust_grounded, exhaust_swings]"));
  CHECK(contains(ran.out, "no rule names 'exhaust_swings' itself"));
  CHECK(contains(ran.out, "--only swings\n"));
  const Json made = Json::parse(read_whole(file));
  CHECK(made["reference"]["true"] == Json::array({"exhaust_swings"}));
  CHECK(made["reference"]["stops"] == Json::array({"ball_joint_play"}));
  CHECK(made["entries"][0]["value"] == Json::array({"clunk", "drone"}));
  CHECK(made["entries"][1]["place"] == "left_front");
  CHECK(run_perrev({"rules", "test", shop.folder.path("rules")}).code == 1);  // it can be read
  const Ran second =
      shop.run(Arguments{"cause", "other"} + Arguments(kCause.begin() + 2, kCause.end()) +
               Arguments{"--seen", "heard: clunk", "--case-out", file, "--yes"});
  CHECK(second.code == 2);  // never over a case that is there
  CHECK(contains(second.err, "swings.json: error: is there already; another name"));
  CHECK(!contains(read_whole(shop.folder.path("rules/causes/engine.yaml")), "\nother:"));
}

TEST_CASE("odd words of any kind of thing come out of the rule base as they went in") {
  for (const char* odd :
       {"no", "null", "1e3", "a: b # c", " 'x' \"y\" ", "{x", "\xc3\xa9 \xf0\x9f\x94\xa7"}) {
    CAPTURE(odd);
    const Shop fresh;
    const Ran fact =
        fresh.run({"fact", "made", "--ask", odd, "--kind", "one", "--answers",
                   "a:" + std::string("x ") + odd, "--answers", "b:B", "--base", "a:0.5", "--base",
                   "b:0.5", "--asked-at", "bay", "--yes", "--json"});
    CAPTURE(fact.err);
    CHECK(fact.code == 0);
    CHECK(Json::parse(fact.out)["written"] == true);
    const Ran rule =
        fresh.run({"rule", "said", "--when", "made:a", "--for", "static_imbalance:some",
                   "--because", odd, "--origin", "from memory", "--yes"});
    CHECK(rule.code == 0);
    const Json told = Json::parse(
        run_perrev({"rules", "explain", "said", "--json", "--rules", fresh.folder.path("rules")})
            .out);
    CHECK(told["explained"][0]["because"] == odd);
  }
}

TEST_CASE("a check comes with its edges, behind the gate where it moves") {
  const Shop shop;
  REQUIRE(shop.run(kFact + Arguments{"--yes"}).code == 0);
  const Arguments check = {"check",    "look",        "--what",    "Look", "--by", "bay",
                           "--learns", "hanger_torn", "--minutes", "3",    "--yes"};
  const Ran standing = shop.run(check + Arguments{"--offered-if", "powertrain: engine"});
  CHECK(standing.code == 0);
  CHECK(contains(standing.out,
                 "  +   - from: start\n  +     to: look\n  +     when: {powertrain: engine}\n"));
  CHECK(contains(standing.out, "  +   - from: look\n  +     to: referral\n"));
  Arguments driven = check;
  driven[1] = "drive_it";
  const Ran moving = shop.run(driven + Arguments{"--moves", "yes"});
  CHECK(moving.code == 0);
  CHECK(contains(moving.out,
                 "  +   - from: safe_to_drive\n  +     to: drive_it\n  +     when: passed\n"));
  driven[1] = "drive_round";
  const Ran round = shop.run(driven + Arguments{"--moves", "yes", "--after", "start"});
  CHECK(round.code == 2);  // round the gate
  CHECK(!contains(read_whole(shop.folder.path("rules/checks.yaml")), "drive_round"));
}

TEST_CASE("a person is asked, may go back, gets near words, and sees it before it is written") {
  const Shop shop;
  const Ran ran = shop.run({"cause", "--prompt"}, std::string(kTyped) + "no\nyes\n");
  CAPTURE(ran.out);
  CHECK(ran.code == 0);
  CHECK(contains(ran.out, "there is no \"engin\" here; did you mean 'engine'?"));
  CHECK(contains(ran.out, "there is no \"banks\" here; did you mean 'bangs'?"));
  CHECK(contains(ran.out, "free_exhaust: Free, hang and tighten"));
  CHECK(
      contains(ran.out, "no repair is called \"free_exhuast\" yet; did you mean 'free_exhaust'?"));
  CHECK(contains(ran.out, "There is no repair 'renew_hangers' yet"));
  CHECK(contains(ran.out, "Written: 3 files."));
  CHECK(contains(read_whole(shop.folder.path("rules/causes/engine.yaml")),
                 "\nexhaust_swings:\n  name: The exhaust swings\n  family: engine\n  usual: rare\n"
                 "  shakes: [{source: engine, order: 2}]\n  needs: {powertrain: [engine, hybrid]}\n"
                 "  repair: renew_hangers\n  proof: No knock.\n  shown_by: bay\n"));
  CHECK(contains(read_whole(shop.folder.path("rules/evidence/my_shop.yaml")),
                 "- rule: exhaust_swings_found\n  when: {under_car: bangs}\n"
                 "  for: {exhaust_swings: some}\n"));
  for (std::size_t at = 0; at < ran.out.size();) {  // fits a terminal, listings of files aside
    const std::size_t end = std::min(ran.out.find('\n', at), ran.out.size());
    const std::string line = ran.out.substr(at, end - at);
    if (line.rfind("  + ", 0) != 0 && !contains(line, shop.folder.path(""))) {
      CAPTURE(line);
      CHECK(line.size() <= 80);
    }
    at = end + 1;
  }
}

TEST_CASE("wherever the answers end, or the last one is no, not a byte has changed") {
  const Shop shop;
  const auto before = shop.bytes();
  const std::string all = kTyped;
  for (std::size_t at = 0; at <= all.size(); at = all.find('\n', at) + 1) {
    const Ran ran = shop.run({"cause", "--prompt"}, all.substr(0, at));
    CAPTURE(at);
    CHECK(ran.code == 1);
    CHECK(contains(ran.out, "Nothing is written.\n"));
    if (at == all.size()) break;
  }
  CHECK(shop.run({"cause", "--prompt"}, all + "no\nno\n").code == 1);
  CHECK(shop.bytes() == before);
}

TEST_CASE(
    "a rule that speaks neither for nor against is asked of that again, and of nothing else") {
  const std::string speaks = "static_imbalance: some\n\n\n", end = "my_shop\nno\nyes\n";
  const std::pair<Arguments, std::string> rows[] = {
      {{"rule", "--prompt"},
       "said\nunder_car: bangs\n\n\n\nIt bangs.\nfrom memory\n" + speaks + end},
      {{"rule", "said", "--because", "It bangs.", "--origin", "from memory", "--prompt"},
       "under_car: bangs\n\n\n\n" + speaks + end},
      {{"rule", "said", "--when", "under_car:bangs", "--prompt"},
       "\n\nIt bangs.\nfrom memory\nback\n" + speaks + "../../x\n" + end},
      {{"rule", "said", "--origin", "from memory", "--prompt"},
       "under_car: clunks\nunder_car: bangs\n\n\n\nIt bangs.\nback\nunder_car: bangs\n\n" + speaks +
           end},
  };
  for (const auto& [arguments, typed] : rows) {
    const Shop shop;
    const Ran ran = shop.run(arguments, typed);
    CAPTURE(typed);
    CAPTURE(ran.out);
    CAPTURE(ran.err);
    CHECK(ran.code == 0);
    CHECK(contains(ran.out, "It speaks neither for nor against anything yet."));
    CHECK(contains(read_whole(shop.folder.path("rules/evidence/my_shop.yaml")),
                   "- rule: said\n  when: {under_car: bangs}\n  for: {static_imbalance: some}\n"
                   "  because: It bangs.\n  origin: from memory\n"));
  }
}

TEST_CASE("folders that are not there are made, for the offered case and for rules") {
  const Shop shop;
  const Ran ran = shop.run({"cause", "--prompt"}, std::string(kTyped) + "yes\nyes\n");
  CAPTURE(ran.err);
  CHECK(ran.code == 0);
  CHECK(fs::exists(shop.folder.path("cases/exhaust_swings.json")));
  CHECK(shop.run(kRule + Arguments{"--in", "sub/felt", "--yes"}).code == 0);
  CHECK(fs::exists(shop.folder.path("rules/evidence/sub/felt.yaml")));
  CHECK(run_perrev({"rules", "explain", "said", "--rules", shop.folder.path("rules")}).code == 0);
}

TEST_CASE("rules are written nowhere but in the folder of evidence") {
  const Shop shop;
  const auto before = shop.bytes();
  for (const char* away : {"../../x", "..", ".", "/x", "evidence/../facts", "evidence/", "sub//x",
                           "sub/", "./x", "sub/../x", "..\\x", "evidence//x", ".yaml"}) {
    CAPTURE(away);
    const Ran ran = shop.run(kRule + Arguments{"--in", away, "--yes"});
    CHECK(ran.code == 2);
    CHECK(contains(ran.err, "--in: "));
    CHECK(contains(ran.err, " is no file of the folder evidence/; a plain name"));
  }
  CHECK(shop.bytes() == before);
}

TEST_CASE("a file without entries is told, not written to") {
  const Shop shop;
  shop.folder.write("rules/evidence/my_shop.yaml", "[]\n");
  const auto before = shop.bytes();
  const Ran ran = shop.run(kRule + Arguments{"--in", "my_shop", "--yes"});
  CHECK(ran.code == 2);
  CHECK(contains(ran.err, "my_shop.yaml: error: the file has no entry yet"));
  CHECK(shop.bytes() == before);
}

TEST_CASE("options that would do nothing are refused before anything is asked") {
  const Shop shop;
  const auto before = shop.bytes();
  const std::pair<Arguments, const char*> rows[] = {
      {kCause + Arguments{"--seen", "heard: clunk"}, "--seen: it goes into a reference case"},
      {kCause + Arguments{"--seen", "heard: clunk", "--yes"}, "--seen: it goes into"},
      {kCause + Arguments{"--seen", "heard: clunk", "--no-case", "--prompt"}, "--seen"},
      {kCause + Arguments{"--repair-what", "Renew", "--yes"},
       "--repair-what: repair 'free_exhaust' is there already"},
      {{"cause", "--repair", "free_exhaust", "--repair-minutes", "9", "--prompt"},
       "--repair-minutes: repair 'free_exhaust' is there already"},
      {kRule + Arguments{"--in", "my_shop", "--below", "x", "--yes"},
       "--below: there is no file evidence/my_shop.yaml yet"},
      {kFact + Arguments{"--yes", "--prompt"}, "--prompt"},
  };
  for (const auto& [arguments, told] : rows) {
    CAPTURE(told);
    const Ran ran = shop.run(arguments);
    CAPTURE(ran.err);
    CHECK(ran.code == 2);
    CHECK(contains(ran.err, told));
    CHECK(!contains(ran.out, "?"));
  }
  CHECK(shop.bytes() == before);
}

TEST_CASE("a process that is killed while it asks has written nothing") {
  const Shop shop;
  const auto before = shop.bytes();
  Running running({"rules", "new", "fact", "--prompt", "--rules", shop.folder.path("rules")});
  CHECK(contains(running.until("called?"), "called?"));
  running.end(SIGINT);
  CHECK(shop.bytes() == before);
}

TEST_CASE("all files or none: what cannot be written leaves the others as they were") {
  const Shop shop;
  const auto before = shop.bytes();
  fs::create_directory(shop.folder.path("rules/.repairs.yaml.part"));  // its place is taken
  const Ran ran = shop.run(kCause + Arguments{"--yes"});
  CHECK(ran.code == 2);
  CHECK(contains(ran.err, "repairs.yaml: error: cannot be written"));
  CHECK(contains(ran.out, "Nothing is written.\n"));
  CHECK(shop.bytes() == before);

  const Folder folder;
  folder.write("a", "old");
  folder.write("b", "other");
  CHECK(
      !write_files({{folder.path("a"), "old", "new"}, {folder.path("b"), "else", "new"}}).empty());
  CHECK(!write_files({{folder.path("a"), "old", "new"}, {folder.path("b"), std::nullopt, "new"}})
             .empty());
  CHECK(!write_files({{folder.path("a"), "old", "new"}, {folder.path("b/c"), std::nullopt, "new"}})
             .empty());
  CHECK(!write_files(
             {{folder.path("no/where/c"), std::nullopt, "new"}, {folder.path("b"), "else", "new"}})
             .empty());
  CHECK(folder.read("a") == "old");
  CHECK(folder.names() == std::vector<std::string>{"a", "b"});
  CHECK(write_files({{folder.path("a"), "old", "new"}, {folder.path("d"), std::nullopt, "new"}})
            .empty());
  CHECK(folder.read("a") == "new");
  CHECK(folder.read("d") == "new");
  folder.write(".b.part", "of another process");
  CHECK(
      !write_files({{folder.path("a"), "new", "old"}, {folder.path("b"), "else", "new"}}).empty());
  CHECK(folder.read(".b.part") == "of another process");
}
