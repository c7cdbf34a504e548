#include "src/commands/new_making.h"

#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <nlohmann/json.hpp>

#include "engine/bench/yaml_write.h"
#include "engine/json_text.h"
#include "engine/quantity/text.h"
#include "src/answers/words.h"
#include "src/commands/common.h"
#include "src/commands/new_case_offer.h"
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

// One run of the command: gathers what was said, asks for the rest, shows it and writes it.
class Making {
 public:
  Making(NewKind kind, const NewOptions& options, WouldBe would_be)
      : kind_(kind),
        options_(options),
        would_be_(std::move(would_be)),
        asks_(!options.yes && !options.json && (options.prompt || ::isatty(STDIN_FILENO))),
        out_(options.json ? std::cerr : std::cout),
        talk_(out_) {}

  Exit run() {
    const Exit made = make();
    if (made != Exit::done) return made;
    if (asks_ && kind_ == NewKind::cause && !first_rule()) return nothing_written();
    return finish();
  }

 private:
  // -------------------------------------------------------------- what was said

  YamlNode given(NewKind kind, const std::string& before) {
    YamlNode out;
    out.kind = YamlNode::Kind::mapping;
    for (const Field& field : fields_of(kind)) {
      const auto said = options_.said.find(before + std::string(field.key));
      if (said == options_.said.end() || said->second.empty()) continue;
      const bool left_out = said->second.size() == 1 && said->second.front().empty();
      if (left_out) continue;
      const bool makes_repair =
          kind == NewKind::cause && field.key == "repair" && is_id(said->second.front());
      auto read = makes_repair ? Result<YamlNode>(scalar_node(said->second.front()))
                               : read_field(field, said->second, would_be_.base());
      if (read)
        put(out, std::string(field.key), std::move(read).value());
      else
        fault(option_of(said->first), read.error());
    }
    return out;
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
    if (asks_ && problems_.empty()) return talk_.ask(kind, fields, would_be_.base());
    miss(kind, fields, before);
    return true;
  }

  // -------------------------------------------------------------- the thing

  Exit make() {
    if (asks_) greet();
    const std::vector<std::string> taken = ids_of(kind_, would_be_.base());
    id_ = options_.id;
    if (id_.empty() && asks_) {
      const auto asked =
          talk_.id("What is it to be called? Small letters, digits and _.", {}, taken);
      if (!asked) return nothing_written();
      id_ = *asked;
    }
    if (id_.empty())
      missing_.push_back(row("  NAME", 22, "What is it to be called?"));
    else if (const auto wrong = wrong_id(id_, taken))
      return tell(*wrong);
    NewThing thing{kind_, id_, given(kind_, ""), options_.file, options_.below};
    if (!fill(kind_, thing.fields, "")) return nothing_written();
    std::vector<NewThing> things = {thing};
    if (kind_ == NewKind::cause && !add_repair(things)) return nothing_written();
    if (kind_ == NewKind::check && !add_edges(things)) return nothing_written();
    if (!problems_.empty()) return tell(problems_);
    if (!missing_.empty()) return tell_missing();
    for (NewThing& each : things)
      if (each.kind != NewKind::curing) each.fields = completed(each.kind, each.fields);
    if (asks_ && kind_ == NewKind::rule && !place_rule(things.front())) return nothing_written();
    const Problems problems = would_be_.add(things);
    return problems.empty() ? Exit::done : tell_refused(problems);
  }

  void greet() {
    out_ << wrapped("A new " + std::string(name_of(kind_)) +
                        ". ? tells more, back goes to the question before, Ctrl-D ends and "
                        "writes nothing. Nothing is written before you have seen it.",
                    0, 0);
  }

  // The repair that cures a new cause: one more in its list, or a new one.
  bool add_repair(std::vector<NewThing>& things) {
    const YamlNode* repair = things.front().fields.find("repair");
    if (!repair) return true;
    YamlNode cures;
    if (would_be_.base().repair_index(repair->scalar) >= 0) {
      put(cures, "cures", scalar_node(id_));
      things.push_back({NewKind::curing, repair->scalar, cures, {}, {}});
      return true;
    }
    NewThing made{NewKind::repair, repair->scalar, given(NewKind::repair, "repair_"), {}, {}};
    put(made.fields, "cures", list_node({id_}));
    if (asks_)
      out_ << "\n" << wrapped("There is no repair '" + made.id + "' yet, so it is made too.", 0, 0);
    if (!fill(NewKind::repair, made.fields, "repair_")) return false;
    things.push_back(std::move(made));
    return true;
  }

  // Where the path offers a new check, and where it leads.
  bool add_edges(std::vector<NewThing>& things) {
    const RuleBase& base = would_be_.base();
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
    put(to_check, "to", scalar_node(id_));
    if (const YamlNode* when = in.find("when")) put(to_check, "when", *when);
    const bool shows = fields.find("confirms") != nullptr;
    const std::string wanted = shows ? "verdict" : "referral";
    const auto end = std::find_if(base.ends.begin(), base.ends.end(),
                                  [&](const PathEnd& each) { return each.id == wanted; });
    put(to_end, "from", scalar_node(id_));
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
      const auto said = options_.said.find(option);
      if (said == options_.said.end() || said->second.empty()) continue;
      auto read =
          read_field(*field_of(fields_of(NewKind::edge), key), said->second, would_be_.base());
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
    const std::string proposed = file_for(rule, would_be_.files());
    const auto file = talk_.line(
        "In which file? One that is not there yet is made: evidence/my_shop.yaml", proposed);
    if (!file) return false;
    rule.file = evidence_file(*file);
    return true;
  }

  // The rule that a new cause needs to ever get likely; false when the person left.
  bool first_rule() {
    const bool wanted = talk_.yes("No rule names it yet. Write the first one now?", true);
    if (talk_.left()) return false;
    if (!wanted) return true;
    const auto id = talk_.id("What is the rule to be called?", id_ + "_found",
                             ids_of(NewKind::rule, would_be_.base()));
    if (!id) return false;
    NewThing rule{NewKind::rule, *id, {}, {}, {}};
    std::vector<std::string> words;
    for (const NumberWord& each : would_be_.base().strengths) words.push_back(each.word);
    for (;;) {
      const auto strength = talk_.line(
          "How strongly does it speak for " + id_ + "? One of: " + joined(words), "strong");
      if (!strength) return false;
      const auto effect = read_field(*field_of(fields_of(NewKind::rule), "for"),
                                     {id_ + ": " + *strength}, would_be_.base());
      if (effect) {
        put(rule.fields, "for", *effect);
        break;
      }
      out_ << wrapped(effect.error().what + "; " + effect.error().right, 4, 4);
    }
    if (!talk_.ask(NewKind::rule, rule.fields, would_be_.base())) return false;
    rule.fields = completed(NewKind::rule, rule.fields);
    if (!place_rule(rule)) return false;
    const Problems problems = would_be_.add({rule});
    if (!problems.empty()) {
      out_ << "\nThe rule is left out:\n";
      tell(problems);
    }
    return true;
  }

  // -------------------------------------------------------------- the case

  // Adds the case to what is written, where one is wanted.
  Exit add_case(std::vector<FileChange>& changes) {
    const NewThing& thing = would_be_.things().front();
    const RuleBase& base = would_be_.base();
    const int cause = cause_of_case(thing, base);
    const bool offered = options_.case_out.empty();
    if (options_.no_case || (offered && (!asks_ || cause < 0))) return Exit::done;
    if (cause < 0)
      return tell_option("--case-out", problem("it names no cause that a case could be about",
                                               "a rule for a cause, or a check that shows one"));
    const auto seen = answers_of_case(thing, options_.seen, base);
    if (!seen) return tell_option("--seen", seen.error());
    const std::string& id = base.causes[static_cast<std::size_t>(cause)].id;
    const std::string path =
        offered ? usual_case_path(rules_folder(options_.rules), id) : options_.case_out;
    if (offered && (seen->empty() || std::filesystem::exists(path))) return Exit::done;
    if (seen->empty())
      return tell_option("--case-out", problem("nothing is known of what its vehicle showed",
                                               "--seen \"fact: answer\", once or more"));
    const bool shown = kind_ == NewKind::check && options_.seen.empty();
    const std::string text = reference_case(base, cause, *seen, shown);
    out_ << listing(path, path, {}, {{path, 0, text}});
    if (offered &&
        !talk_.yes("Write this reference case too? It tests that the cause is found.", true))
      return talk_.left() ? Exit::answer_is_no : Exit::done;
    case_path_ = path;
    changes.push_back({path, std::nullopt, text});
    return Exit::done;
  }

  // -------------------------------------------------------------- the end

  Exit finish() {
    const std::vector<Finding> found = would_be_.new_findings();
    out_ << (asks_ ? "\n" : "") << would_be_.listing();
    std::vector<FileChange> changes = would_be_.changes();
    if (const Exit exit = add_case(changes); exit != Exit::done)
      return talk_.left() ? nothing_written() : exit;
    out_ << "\n" << findings_text(found, would_be_.base()) << unnamed_text();
    if (std::any_of(found.begin(), found.end(),
                    [](const Finding& each) { return each.level == Level::error; })) {
      for (const Finding& each : found)
        if (each.level == Level::error) std::cerr << each.text() << "\n";
      out_ << "Nothing is written.\n";
      return Exit::bad_input;
    }
    if (asks_ ? !talk_.yes("Write it?", true) : !options_.yes) {
      if (asks_) return nothing_written();
      out_ << "Nothing is written yet; with --yes it is.\n";
      return print_json(changes, found, false), Exit::answer_is_no;
    }
    const Problems problems = write_files(changes);
    if (!problems.empty()) {
      out_ << "Nothing is written.\n";
      return tell(problems);
    }
    out_ << "\nWritten: " << changes.size() << (changes.size() == 1 ? " file.\n" : " files.\n");
    out_ << "\n" << next_text(rules_folder(options_.rules), case_path_);
    print_json(changes, found, true);
    return Exit::done;
  }

  // Rules of its family alone never lift a cause above its kin.
  std::string unnamed_text() const {
    if (kind_ != NewKind::cause) return {};
    for (const NewThing& thing : would_be_.things())
      if (thing.kind == NewKind::rule) return {};
    return "  no rule names '" + id_ + "' itself\n      perrev rules new rule NAME --for " + id_ +
           ":strong\n";
  }

  void print_json(const std::vector<FileChange>& changes, const std::vector<Finding>& found,
                  bool written) const {
    if (!options_.json) return;
    using Json = nlohmann::ordered_json;
    Json files = Json::array(), findings = Json::array();
    for (const FileChange& change : changes)
      files.push_back(
          {{"file", change.path}, {"new", !change.before.has_value()}, {"text", change.after}});
    for (const Finding& each : found)
      findings.push_back({{"id", each.id},
                          {"file", each.place.file},
                          {"line", each.place.line},
                          {"what", each.what},
                          {"right", each.right},
                          {"command", command_for(each, would_be_.base())}});
    std::cout << indented_json(Json{{"kind", name_of(kind_)},
                                    {"name", id_},
                                    {"written", written},
                                    {"files", files},
                                    {"findings", findings}})
              << "\n";
  }

  Exit nothing_written() {
    out_ << "Nothing is written.\n";
    return Exit::answer_is_no;
  }

  Exit tell_missing() {
    std::cerr << "perrev: error: not enough is said of the new " << name_of(kind_)
              << "; missing:\n";
    for (const std::string& each : missing_) std::cerr << each;
    return Exit::bad_input;
  }

  Exit tell_refused(const Problems& problems) {
    tell(problems);
    out_ << "With it the rule base would not load. Nothing is written.\n";
    return Exit::bad_input;
  }

  const NewKind kind_;
  const NewOptions& options_;
  WouldBe would_be_;
  const bool asks_;
  std::ostream& out_;
  NewTalk talk_;
  std::string id_, case_path_;
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
  return Making(kind, options, std::move(would_be)).run();
}

}  // namespace perrev
