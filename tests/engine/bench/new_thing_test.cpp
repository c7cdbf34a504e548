// What is put into the files of a rule base: it loads, says what was asked, and moves nothing.
#include "engine/bench/new_thing.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "engine/bench/yaml_write.h"
#include "engine/knowledge/yaml_parse.h"
#include "engine/quantity/text.h"
#include "tests/engine/knowledge/small_base.h"

using namespace perrev;
using namespace perrev::small;

namespace {

// Texts that YAML could take for something else.
const std::vector<std::string> kOdd = {"yes",
                                       "no",
                                       "Null",
                                       "null",
                                       "~",
                                       "true",
                                       "off",
                                       "1e3",
                                       "0x1F",
                                       "1.50",
                                       "-4",
                                       ".5",
                                       ".inf",
                                       "2026-01-05",
                                       "1:30",
                                       "---",
                                       "...",
                                       "- a",
                                       "? a",
                                       ": a",
                                       "a: b",
                                       "a:",
                                       "a #b",
                                       "#a",
                                       "&a",
                                       "*a",
                                       "!a",
                                       "|",
                                       ">",
                                       "%a",
                                       "@a",
                                       "`a`",
                                       "{a",
                                       "a}",
                                       "[a",
                                       "a]",
                                       "a, b",
                                       "'",
                                       "\"",
                                       "it's",
                                       "\"a\"",
                                       "'a'",
                                       "a\\nb",
                                       "\\",
                                       " a",
                                       "a ",
                                       "  ",
                                       "a\tb",
                                       "\ta",
                                       "\xc3\xa9t\xc3\xa9",
                                       "\xe4\xbd\xa0\xe5\xa5\xbd",
                                       "\xf0\x9f\x94\xa7 nut",
                                       "\xc2\xa0 a",
                                       "\xe2\x80\xa8",
                                       "a\xe2\x80\xa9"
                                       "b",
                                       "\xef\xbb\xbf"
                                       "a",
                                       "a..b",
                                       "<<",
                                       "=",
                                       "65 mph",
                                       "0.030 in",
                                       "a? b",
                                       "(a)",
                                       "a {b} c"};

// Made of pieces of these.
std::string odd_text(Lcg& random) {
  const auto piece = [&] {
    return kOdd[static_cast<std::size_t>(random.below(static_cast<int>(kOdd.size())))];
  };
  std::string out = piece();
  for (int more = random.below(3); more > 0; --more) out += (random.below(2) ? " " : "") + piece();
  return out;
}

YamlNode pairs(const std::vector<std::pair<std::string, std::string>>& all) {
  YamlNode out;
  out.kind = YamlNode::Kind::mapping;
  for (const auto& each : all) put(out, each.first, scalar_node(each.second));
  return out;
}

// Blanks alone are no text to anybody: loading refuses them.
std::string odd_words(Lcg& random) {
  std::string out = odd_text(random);
  return trimmed(out).empty() ? out + "a" : out;
}

// A thing of each kind with these words wherever words may stand.
std::vector<NewThing> thing_with(NewKind kind, Lcg& random) {
  const auto text = [&] { return scalar_node(odd_words(random)); };
  NewThing made{kind, "made", {}, {}, {}};
  if (kind == NewKind::fact) {
    put(made.fields, "ask", text());
    put(made.fields, "kind", scalar_node("one"));
    put(made.fields, "answers",
        pairs({{"first", odd_words(random)}, {"other", odd_words(random)}}));
    put(made.fields, "base", pairs({{"first", "0.25"}, {"other", "0.75"}}));
    put(made.fields, "asked_at", list_node({"road", "bay"}));
    put(made.fields, "how", text());
    return {made};
  }
  if (kind == NewKind::cause) {
    const bool is_new = random.below(2) == 0;
    put(made.fields, "name", text());
    put(made.fields, "family", scalar_node(random.below(2) ? "wheels" : "shafts"));
    put(made.fields, "usual", scalar_node("3"));
    put(made.fields, "repair", scalar_node(is_new ? "mend" : "new_joint"));
    put(made.fields, "proof", text());
    put(made.fields, "caution", text());
    put(made.fields, "shown_by", scalar_node("bay"));
    NewThing repair{
        is_new ? NewKind::repair : NewKind::curing, is_new ? "mend" : "new_joint", {}, {}, {}};
    if (is_new) {
      put(repair.fields, "what", text());
      put(repair.fields, "minutes", scalar_node("12"));
      put(repair.fields, "parts", scalar_node("small"));
      put(repair.fields, "cures", list_node({"made"}));
      put(repair.fields, "proof", text());
    } else {
      put(repair.fields, "cures", scalar_node("made"));
    }
    return {made, repair};
  }
  if (kind == NewKind::rule) {
    put(made.fields, "when", pairs({{"hums", "yes"}, {"worst_speed", "80..120 km/h"}}));
    put(made.fields, "for", pairs({{"bent_rim", "strong"}}));
    put(made.fields, "because", text());
    put(made.fields, "origin", text());
    return {made};
  }
  put(made.fields, "what", text());
  put(made.fields, "by", scalar_node("bay"));
  put(made.fields, "learns", list_node({"shaft_play"}));
  put(made.fields, "minutes", scalar_node("2.5"));
  put(made.fields, "how", text());
  put(made.fields, "caution", text());
  std::vector<NewThing> out = {
      made, {NewKind::edge, {}, {}, {}, {}}, {NewKind::edge, {}, {}, {}, {}}};
  out[1].fields = pairs({{"from", "start"}, {"to", "made"}});
  out[2].fields = pairs({{"from", "made"}, {"to", "verdict"}});
  return out;
}

std::vector<ParsedFile> parsed(const SmallBase& base) {
  std::vector<ParsedFile> out;
  for (const SourceFile& file : base.files()) out.push_back(parse_file(file));
  return out;
}

std::string text_of(const std::vector<ParsedFile>& files, const std::string& name) {
  for (const ParsedFile& file : files)
    if (file.source.name == name) return file.source.text;
  return {};
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    out.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  return out;
}

// Takes what was inserted out again, by the places and lengths of the insertions.
std::string without(std::string text, const std::string& name,
                    const std::vector<Insertion>& insertions) {
  std::vector<std::pair<std::size_t, std::string>> mine;  // sorted, those at one place as given
  for (const Insertion& each : insertions) {
    if (each.file != name) continue;
    const auto after = std::find_if(mine.begin(), mine.end(),
                                    [&](const auto& other) { return other.first > each.at; });
    mine.insert(after, {each.at, each.text});
  }
  for (const auto& [at, added] : mine) {
    CHECK(text.compare(at, added.size(), added) == 0);
    text.erase(at, added.size());
  }
  return text;
}

struct Inserted {
  std::vector<ParsedFile> before, after;
  std::vector<Insertion> insertions;
};

Inserted write(const SmallBase& base, const std::vector<NewThing>& things) {
  Inserted out;
  out.before = parsed(base);
  const auto made = insertions_for(things, out.before);
  REQUIRE(made.ok());
  out.insertions = *made;
  for (const ParsedFile& file : out.before)
    out.after.push_back(
        parse_file({file.source.name, file.source.shown,
                    with_insertions(file.source.name, file.source.text, out.insertions)}));
  return out;
}

const YamlNode* found(const std::vector<ParsedFile>& files, const std::string& name,
                      const std::string& id) {
  for (const ParsedFile& file : files) {
    if (file.source.name != name || !file.tree) continue;
    for (const YamlNode& item : file.tree->items)
      if (item.find("rule") && item.find("rule")->scalar == id) return &item;
    return file.tree->find(id);
  }
  return nullptr;
}

constexpr NewKind kKinds[] = {NewKind::fact, NewKind::cause, NewKind::rule, NewKind::check};

}  // namespace

TEST_CASE("any text is written so that it reads back as it was") {
  Lcg random(7);
  for (int round = 0; round < 3000; ++round) {
    const std::string text = round < static_cast<int>(kOdd.size())
                                 ? kOdd[static_cast<std::size_t>(round)]
                                 : odd_text(random);
    CAPTURE(text);
    YamlNode value;
    put(value, "list", list_node({text, "b", text}));
    put(value, "one", scalar_node(text));
    for (const Spelling spelling : {Spelling::prose, Spelling::format}) {
      const auto flow = parse_yaml("flow", yaml_value(value, spelling));
      REQUIRE(flow.ok());
      CHECK(same_value(*flow, value));
      const auto block = parse_yaml("block", "k: " + yaml_scalar(text, spelling) + "\nl: b\n");
      REQUIRE(block.ok());
      REQUIRE(block->find("k"));
      CHECK(block->find("k")->scalar == text);
      CHECK(block->find("k")->kind == YamlNode::Kind::scalar);
    }
  }
}

TEST_CASE("plain words stay without quotes, and what another reader would misread has them") {
  CHECK(yaml_scalar("Is a hanger torn or missing?", Spelling::prose) ==
        "Is a hanger torn or missing?");
  CHECK(yaml_scalar("0..200 km/h", Spelling::prose) == "0..200 km/h");
  CHECK(yaml_scalar("0.04", Spelling::format) == "0.04");
  CHECK(yaml_scalar("yes", Spelling::format) == "yes");
  for (const char* misread : {"yes", "No", "1e3", "0x10", "12", "2026-01-05", "true", "null"})
    CHECK(yaml_scalar(misread, Spelling::prose) == "\"" + std::string(misread) + "\"");
}

TEST_CASE("whatever is said of it: it loads, says that, and every old byte stays in its order") {
  Lcg random(11);
  const SmallBase base;
  for (int round = 0; round < 150; ++round)
    for (const NewKind kind : kKinds) {
      const std::vector<NewThing> things = thing_with(kind, random);
      const Inserted written = write(base, things);
      CAPTURE(written.insertions.front().text);
      for (std::size_t i = 0; i < written.after.size(); ++i) {
        const ParsedFile &was = written.before[i], &is = written.after[i];
        REQUIRE(is.tree.ok());
        CHECK(kept(was.source.name, *was.tree, *is.tree, things, written.before));
        CHECK(without(is.source.text, was.source.name, written.insertions) == was.source.text);
        if (kind == NewKind::cause && was.source.name == "repairs.yaml") continue;
        const std::vector<std::string> old = lines_of(was.source.text);
        std::size_t at = 0;
        for (const std::string& line : lines_of(is.source.text))
          if (at < old.size() && line == old[at]) ++at;
        CHECK(at == old.size());
      }
      const YamlNode* made = found(written.after, file_for(things.front(), written.before), "made");
      REQUIRE(made);
      for (const YamlMember& said : things.front().fields.members) {
        REQUIRE(made->find(said.key));
        CHECK(same_value(*made->find(said.key), said.value));
      }
      const auto loaded = build_rule_base(written.after);
      const std::string wrong = loaded ? std::string() : loaded.error().front().text();
      CAPTURE(wrong);
      REQUIRE(loaded.ok());
      const auto said = [&](const char* key) { return things.front().fields.find(key)->scalar; };
      if (kind == NewKind::fact) {
        const Fact& fact = loaded->facts[static_cast<std::size_t>(loaded->fact_index("made"))];
        CHECK(fact.ask == said("ask"));
        CHECK(fact.how == said("how"));
        CHECK(fact.answers[1].label ==
              things.front().fields.find("answers")->find("other")->scalar);
      } else if (kind == NewKind::cause) {
        const Cause& cause = loaded->causes[static_cast<std::size_t>(loaded->cause_index("made"))];
        CHECK(cause.name == said("name"));
        CHECK(cause.caution == said("caution"));
        CHECK(loaded->repairs[static_cast<std::size_t>(cause.repair)].id == said("repair"));
      } else if (kind == NewKind::rule) {
        const Rule& rule = *std::find_if(loaded->rules.begin(), loaded->rules.end(),
                                         [](const Rule& each) { return each.id == "made"; });
        CHECK(rule.because == said("because"));
        CHECK(rule.origin == said("origin"));
      } else {
        const Check& check = loaded->checks[static_cast<std::size_t>(loaded->check_index("made"))];
        CHECK(check.what == said("what"));
        CHECK(check.minutes == 2.5);
        const std::size_t vertex =
            static_cast<std::size_t>(loaded->vertex_of_check(loaded->check_index("made")));
        CHECK(!loaded->incoming[vertex].empty());
      }
    }
}

TEST_CASE(
    "neighbours are followed: indentation, empty lines, comments, a file without a line end") {
  struct Row {
    const char *file, *before, *after;
  };
  const Row rows[] = {
      {"facts.yaml", "a: {ask: x}\nb: {ask: y}\n", "a: {ask: x}\nb: {ask: y}\nmade:\n  ask: new\n"},
      {"facts.yaml", "a:\n    ask: x\n\nb:\n    ask: y\n\n# the end\n",
       "a:\n    ask: x\n\nb:\n    ask: y\n\nmade:\n    ask: new\n\n# the end\n"},
      {"facts.yaml", "a:\n  ask: x\nb:\n  ask: y", "a:\n  ask: x\nb:\n  ask: y\nmade:\n  ask: new"},
      {"facts.yaml", "b:\n  ask: |\n    y\n    # y\n",
       "b:\n  ask: |\n    y\n    # y\n\nmade:\n  ask: new\n"},
      {"facts.yaml", "b:\n  ask: y   # so\n  # and so\n",
       "b:\n  ask: y   # so\n  # and so\n\nmade:\n  ask: new\n"},
  };
  for (const Row& row : rows) {
    CAPTURE(row.before);
    NewThing made{NewKind::fact, "made", {}, {}, {}};
    put(made.fields, "ask", scalar_node("new"));
    const std::vector<ParsedFile> files = {parse_file({row.file, row.file, row.before})};
    const auto insertions = insertions_for({made}, files);
    REQUIRE(insertions.ok());
    const std::string after = with_insertions(row.file, row.before, *insertions);
    CHECK(after == row.after);
    CHECK(kept(row.file, *files[0].tree, *parse_file({row.file, row.file, after}).tree, {made},
               files));
  }
}

TEST_CASE("below an entry, and in a file that is not there yet") {
  const std::vector<ParsedFile> files = parsed(SmallBase());
  Lcg random(3);
  NewThing rule = thing_with(NewKind::rule, random).front();
  CHECK(file_for(rule, files) == "evidence/readings.yaml");
  rule.file = "evidence/history.yaml";
  rule.below = "after_new_tires";
  const auto below = insertions_for({rule}, files);
  REQUIRE(below.ok());
  const std::string text = with_insertions(rule.file, text_of(files, rule.file), *below);
  CHECK(text.find("- rule: made") < text.find("- rule: felt_in_the_wheel"));
  rule.below = "after_new_tyres";
  const auto unknown = insertions_for({rule}, files);
  REQUIRE(!unknown.ok());
  CHECK(unknown.error().front().right == "did you mean 'after_new_tires'?");
  rule.below.clear();
  rule.file = "evidence/my_shop.yaml";
  NewThing second = rule;
  second.id = "second";
  const auto fresh = insertions_for({rule, second}, files);
  REQUIRE(fresh.ok());
  const std::string whole = with_insertions(rule.file, "", *fresh);
  CHECK(whole.rfind(
            "# yaml-language-server: $schema=../schema/evidence.schema.json\n\n- rule: made\n",
            0) == 0);
  CHECK(kept(rule.file, YamlNode(), *parse_file({rule.file, rule.file, whole}).tree, {rule, second},
             files));
}

TEST_CASE("a cause joins the list of its repair however that is written") {
  const std::pair<const char*, const char*> rows[] = {
      {"mend: {cures: one}\n", "mend: {cures: [one, made]}\n"},
      {"mend: {cures: [one]}\n", "mend: {cures: [one, made]}\n"},
      {"mend:\n  cures: [one,\n          \"two\" ]  # both\n",
       "mend:\n  cures: [one,\n          \"two\", made ]  # both\n"},
      {"mend:\n  cures:\n    - one\n    - two\n  proof: x\n",
       "mend:\n  cures:\n    - one\n    - two\n    - made\n  proof: x\n"},
  };
  for (const auto& row : rows) {
    CAPTURE(row.first);
    NewThing cure{NewKind::curing, "mend", {}, {}, {}};
    put(cure.fields, "cures", scalar_node("made"));
    const std::vector<ParsedFile> files = {parse_file({"repairs.yaml", "repairs.yaml", row.first})};
    const auto insertions = insertions_for({cure}, files);
    REQUIRE(insertions.ok());
    const std::string after = with_insertions("repairs.yaml", row.first, *insertions);
    CHECK(after == row.second);
    CHECK(kept("repairs.yaml", *files[0].tree, *parse_file({"repairs.yaml", "", after}).tree,
               {cure}, files));
  }
}

TEST_CASE("a file that cannot be followed is refused, or seen through") {
  NewThing made{NewKind::fact, "made", {}, {}, {}};
  put(made.fields, "ask", scalar_node("new"));
  const std::string flow = "{a: {ask: x}, b: {ask: y}}\n", keep = "a:\n  ask: |+\n    x\n\n";
  const std::vector<ParsedFile> in_flow = {parse_file({"facts.yaml", "facts.yaml", flow})};
  CHECK(!insertions_for({made}, in_flow).ok());
  const std::vector<ParsedFile> kept_blank = {parse_file({"facts.yaml", "facts.yaml", keep})};
  const auto insertions = insertions_for({made}, kept_blank);
  REQUIRE(insertions.ok());
  const ParsedFile after =
      parse_file({"facts.yaml", "", with_insertions("facts.yaml", keep, *insertions)});
  if (after.tree) {
    const bool same = same_value(*after.tree->find("a"), *kept_blank[0].tree->find("a"));
    CHECK(kept("facts.yaml", *kept_blank[0].tree, *after.tree, {made}, kept_blank) == same);
  }
}

TEST_CASE("a file without entries shows no way to write one: that is told") {
  Lcg random(5);
  for (const char* text : {"[]\n", "{}\n"})
    for (const NewKind kind : {NewKind::fact, NewKind::cause, NewKind::rule, NewKind::check}) {
      CAPTURE(text);
      NewThing made = thing_with(kind, random).front();
      made.file = "there.yaml";
      const std::vector<ParsedFile> files = {parse_file({made.file, "rules/there.yaml", text})};
      REQUIRE(files[0].tree.ok());
      const auto refused = insertions_for({made}, files);
      REQUIRE(!refused.ok());
      CHECK(refused.error().front().place.file == "rules/there.yaml");
      CHECK(refused.error().front().what.find("no entry yet") != std::string::npos);
    }
}

TEST_CASE("nothing is written below an entry of a file that is new") {
  Lcg random(9);
  for (const NewKind kind : {NewKind::cause, NewKind::rule}) {
    NewThing made = thing_with(kind, random).front();
    made.below = "anything";
    CHECK(!insertions_for({made}, {}).ok());
    made.below.clear();
    CHECK(insertions_for({made}, {}).ok());
  }
}

TEST_CASE("the listing shows added lines, and a longer line before and after") {
  const std::string text = "a: 1\nb: [x]\n";
  const std::vector<Insertion> insertions = {{"f", 10, ", y"}, {"f", 12, "\nc: 2\n"}};
  CHECK(with_insertions("f", text, insertions) == "a: 1\nb: [x, y]\n\nc: 2\n");
  CHECK(listing("f", "rules/f", text, insertions) ==
        "rules/f, line 2:\n  - b: [x]\n  + b: [x, y]\nrules/f, after line 2:\n  +\n  + c: 2\n");
}
