#include "src/commands/new_making.h"

#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <iostream>

#include "engine/bench/new_text.h"
#include "engine/bench/yaml_write.h"
#include "engine/knowledge/fields.h"
#include "engine/quantity/text.h"
#include "src/answers/words.h"
#include "src/commands/common.h"
#include "src/commands/new_writing.h"
#include "src/commands/rules_new_rest.h"
#include "src/rules.h"

namespace perrev {

namespace {

std::vector<std::string> ids_of(NewKind kind, const RuleBase& base) {
  std::vector<std::string> out;
  const auto add = [&](const auto& things) {
    for (const auto& thing : things) out.push_back(thing.id);
  };
  if (kind == NewKind::fact) add(base.facts);
  if (kind == NewKind::cause) add(base.causes);
  if (kind == NewKind::rule) add(base.rules);
  if (kind == NewKind::repair) add(base.repairs);
  if (kind == NewKind::check) {
    add(base.checks);
    add(base.gates);
    add(base.ends);
    out.push_back("start");
  }
  return out;
}

// Gathers what was said and asks for the rest.
class Making {
 public:
  explicit Making(NewRun& run) : run_(run) {}

  // Exit::done where the things are in the rule base that would be.
  Exit make() {
    refuse_idle();
    if (!problems_.empty()) return tell(problems_);
    const Exit made = make_thing();
    if (made != Exit::done) return made;
    const bool left = run_.asks && run_.kind == NewKind::cause && !first_rule();
    return left ? nothing_written(run_) : Exit::done;
  }

 private:
  // -------------------------------------------------------------- what was said

  // Null where nothing was, or that it is left out.
  const std::vector<std::string>* said(const std::string& key) const {
    const auto found = run_.options.said.find(key);
    if (found == run_.options.said.end() || found->second.empty()) return nullptr;
    const bool left_out = found->second.size() == 1 && found->second.front().empty();
    return left_out ? nullptr : &found->second;
  }

  std::vector<std::string> said_of_repair() const {
    std::vector<std::string> out;
    for (const Field& field : repair_fields())
      if (const std::string key = "repair_" + std::string(field.key); said(key)) out.push_back(key);
    return out;
  }

  // Options that would do nothing are told before anything is asked.
  void refuse_idle() {
    if (!run_.options.seen.empty() && run_.options.case_out.empty() && !run_.asks)
      fault("--seen", problem("it goes into a reference case, and none is written",
                              "--case-out FILE beside it"));
    if (const std::filesystem::path out = run_.options.case_out;
        !out.empty() && out.extension() != ".json")
      fault("--case-out", problem("a case is a .json file", "a name that ends with .json"));
    if (!run_.options.file.empty() && !can_be_below(run_.options.file))
      fault("--below", new_file(run_.options.file));
    const auto* repair = run_.kind == NewKind::cause ? said("repair") : nullptr;
    if (!repair || run_.would_be.base().repair_index(repair->front()) < 0) return;
    for (const std::string& key : said_of_repair())
      fault(option_of(key), problem("repair '" + repair->front() + "' is there already",
                                    "a new name after --repair, or without it"));
  }

  YamlNode given(NewKind kind, const std::string& before) {
    YamlNode out;
    out.kind = YamlNode::Kind::mapping;
    for (const Field& field : fields_of(kind)) {
      const std::string key = before + std::string(field.key);
      const auto* words = said(key);
      if (!words) continue;
      const bool makes_repair =
          kind == NewKind::cause && field.key == "repair" && is_id(words->front());
      auto read = makes_repair ? Result<YamlNode>(scalar_node(words->front()))
                               : read_field(field, *words, run_.would_be.base());
      if (read)
        put(out, std::string(field.key), std::move(read).value());
      else
        fault(option_of(key), read.error());
    }
    return out;
  }

  // --below names an entry: there is none in a file that is made.
  bool can_be_below(const std::string& file) const {
    return run_.options.below.empty() || file_named(run_.would_be.files(), file);
  }
  static Problem new_file(const std::string& file) {
    return problem("there is no file " + file + " yet, so nothing stands in it",
                   "a file that is there, or no --below");
  }

  void say(const Problem& problem) {
    run_.out << wrapped(problem.what + "; " + problem.right, 4, 4);
  }

  void fault(const std::string& option, Problem problem) {
    problem.what = option + ": " + problem.what;
    problems_.push_back(std::move(problem));
  }

  void miss(NewKind kind, const YamlNode& fields, const std::string& before) {
    for (const NewQuestion& question : missing_of(kind, fields))
      missing_.push_back(
          row("  " + option_of(before + std::string(question.key)), 22, std::string(question.ask)));
  }

  // Asks what is not there; false when the person left.
  bool fill(NewKind kind, YamlNode& fields, const std::string& before) {
    if (run_.asks && problems_.empty()) return run_.talk.ask(kind, fields, run_.would_be.base());
    miss(kind, fields, before);
    return true;
  }

  // -------------------------------------------------------------- the thing

  Exit make_thing() {
    if (run_.asks) greet();
    const std::vector<std::string> taken = ids_of(run_.kind, run_.would_be.base());
    if (run_.id.empty() && run_.asks) {
      const auto asked =
          run_.talk.id("What is it to be called? Small letters, digits and _.", {}, taken);
      if (!asked) return nothing_written(run_);
      run_.id = *asked;
    }
    if (run_.id.empty())
      missing_.push_back(row("  NAME", 22, "What is it to be called?"));
    else if (const auto wrong = wrong_id(run_.id, taken))
      return tell(*wrong);
    NewThing thing{run_.kind, run_.id, given(run_.kind, ""), run_.options.file, run_.options.below};
    if (!fill(run_.kind, thing.fields, "")) return nothing_written(run_);
    std::vector<NewThing> things = {thing};
    if (run_.kind == NewKind::cause && !add_repair(things)) return nothing_written(run_);
    if (run_.kind == NewKind::check && !add_edges(things)) return nothing_written(run_);
    if (!problems_.empty()) return tell(problems_);
    if (!missing_.empty()) return tell_missing();
    for (NewThing& each : things)
      if (each.kind != NewKind::curing) each.fields = completed(each.kind, each.fields);
    if (run_.asks && run_.kind == NewKind::rule && !place_rule(things.front()))
      return nothing_written(run_);
    const Problems problems = run_.would_be.add(things);
    return problems.empty() ? Exit::done : tell_refused(problems);
  }

  void greet() {
    run_.out << wrapped("A new " + std::string(name_of(run_.kind)) + " for the rule base in " +
                            rules_folder(run_.options.rules) +
                            ". ? tells more, back goes to the question before, Ctrl-D ends and "
                            "writes nothing. Nothing is written before you have seen it.",
                        0, 0);
  }

  // The repair that cures a new cause: one more in its list, or a new one.
  bool add_repair(std::vector<NewThing>& things) {
    const YamlNode* repair = things.front().fields.find("repair");
    if (!repair) return true;
    YamlNode cures;
    if (run_.would_be.base().repair_index(repair->scalar) >= 0) {
      if (!said_of_repair().empty())
        run_.out << wrapped("Repair '" + repair->scalar +
                                "' is there already: what was said of a new one is left aside.",
                            0, 0);
      put(cures, "cures", scalar_node(run_.id));
      things.push_back({NewKind::curing, repair->scalar, cures, {}, {}});
      return true;
    }
    NewThing made{NewKind::repair, repair->scalar, given(NewKind::repair, "repair_"), {}, {}};
    put(made.fields, "cures", list_node({run_.id}));
    if (run_.asks)
      run_.out << "\n"
               << wrapped("There is no repair '" + made.id + "' yet, so it is made too.", 0, 0);
    if (!fill(NewKind::repair, made.fields, "repair_")) return false;
    things.push_back(std::move(made));
    return true;
  }

  // Where the path offers a new check, and where it leads.
  bool add_edges(std::vector<NewThing>& things) {
    const RuleBase& base = run_.would_be.base();
    const YamlNode& fields = things.front().fields;
    YamlNode in = given_edge();
    const YamlNode* moves = fields.find("moves");
    const std::string motion = moves ? moves->scalar : "no";
    for (const Gate& gate : base.gates)
      if (!in.find("from") && ((motion == "yes" && gate.guards_driving) ||
                               (motion == "wheels_spin" && gate.guards_spinning))) {
        put(in, "from", scalar_node(gate.id));
        if (!in.find("when")) put(in, "when", scalar_node("passed"));
      }
    if (!fill(NewKind::edge, in, "")) return false;
    in = completed(NewKind::edge, in);
    YamlNode to_check, to_end;
    put(to_check, "from", single(*in.find("from")));
    put(to_check, "to", scalar_node(run_.id));
    if (const YamlNode* when = in.find("when")) put(to_check, "when", *when);
    const bool shows = fields.find("confirms") != nullptr;
    const std::string wanted = shows ? "verdict" : "referral";
    const auto end = std::find_if(base.ends.begin(), base.ends.end(),
                                  [&](const PathEnd& each) { return each.id == wanted; });
    put(to_end, "from", scalar_node(run_.id));
    put(to_end, "to",
        scalar_node(end != base.ends.end() ? wanted
                    : base.ends.empty()    ? wanted
                                           : base.ends.front().id));
    things.push_back({NewKind::edge, {}, to_check, {}, {}});
    things.push_back({NewKind::edge, {}, to_end, {}, {}});
    return true;
  }

  // --after and --offered-if, as the edge has them.
  YamlNode given_edge() {
    YamlNode out;
    out.kind = YamlNode::Kind::mapping;
    for (const auto& [option, key] :
         {std::pair("after", "from"), std::pair("offered_if", "when")}) {
      const auto* words = said(option);
      if (!words) continue;
      auto read =
          read_field(*field_of(fields_of(NewKind::edge), key), *words, run_.would_be.base());
      if (read)
        put(out, key, std::move(read).value());
      else
        fault(option_of(option), read.error());
    }
    return out;
  }

  static YamlNode single(const YamlNode& list) {
    return list.kind == YamlNode::Kind::sequence && list.items.size() == 1 ? list.items.front()
                                                                           : list;
  }

  bool place_rule(NewThing& rule) {
    if (!rule.file.empty()) return true;
    const std::string proposed = file_for(rule, run_.would_be.files());
    for (;;) {
      const auto typed = run_.talk.line(
          "In which file? One that is not there yet is made: evidence/my_shop.yaml", proposed);
      if (!typed) return false;
      const auto file = evidence_file(*typed);
      if (file && can_be_below(*file)) {
        rule.file = *file;
        return true;
      }
      say(file ? new_file(*file) : file.error());
    }
  }

  // The rule that a new cause needs to ever get likely; false when the person left.
  bool first_rule() {
    const bool wanted = run_.talk.yes("No rule names it yet. Write the first one now?", true);
    if (run_.talk.left()) return false;
    if (!wanted) return true;
    const auto id = run_.talk.id("What is the rule to be called?", run_.id + "_found",
                                 ids_of(NewKind::rule, run_.would_be.base()));
    if (!id) return false;
    NewThing rule{NewKind::rule, *id, {}, {}, {}};
    std::vector<std::string> words;
    for (const NumberWord& each : run_.would_be.base().strengths) words.push_back(each.word);
    for (;;) {
      const auto strength = run_.talk.line(
          "How strongly does it speak for " + run_.id + "? One of: " + joined(words), "strong");
      if (!strength) return false;
      const auto effect = read_field(*field_of(fields_of(NewKind::rule), "for"),
                                     {run_.id + ": " + *strength}, run_.would_be.base());
      if (effect) {
        put(rule.fields, "for", *effect);
        break;
      }
      say(effect.error());
    }
    if (!run_.talk.ask(NewKind::rule, rule.fields, run_.would_be.base())) return false;
    rule.fields = completed(NewKind::rule, rule.fields);
    if (!place_rule(rule)) return false;
    const Problems problems = run_.would_be.add({rule});
    if (!problems.empty()) {
      run_.out << "\nThe rule is left out:\n";
      tell(problems);
    }
    return true;
  }

  Exit tell_missing() {
    std::cerr << "perrev: error: not enough is said of the new " << name_of(run_.kind)
              << "; missing:\n";
    for (const std::string& each : missing_) std::cerr << each;
    return Exit::bad_input;
  }

  Exit tell_refused(const Problems& problems) {
    tell(problems);
    run_.out << "It does not fit into the rule base as it stands. Nothing is written.\n";
    return Exit::bad_input;
  }

  NewRun& run_;
  Problems problems_;
  std::vector<std::string> missing_;
};

}  // namespace

std::string option_of(std::string_view key) {
  std::string out = "--";
  for (const char c : key) out += c == '_' ? '-' : c;
  return out;
}

Exit make_new(NewKind kind, const NewOptions& options, WouldBe would_be) {
  std::ostream& out = options.json ? std::cerr : std::cout;
  const bool asks = !options.yes && !options.json && (options.prompt || ::isatty(STDIN_FILENO));
  NewRun run{kind, options, std::move(would_be), asks, out, NewTalk(out), options.id};
  const Exit made = Making(run).make();
  return made == Exit::done ? write_new(run) : made;
}

}  // namespace perrev
