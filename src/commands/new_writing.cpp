#include "src/commands/new_writing.h"

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "src/answers/words.h"
#include "src/commands/common.h"
#include "src/commands/new_case_offer.h"
#include "src/commands/rules_new_rest.h"
#include "src/rules.h"

namespace perrev {

namespace {

class Writing {
 public:
  explicit Writing(NewRun& run) : run_(run) {}

  Exit finish() {
    const std::vector<Finding> found = run_.would_be.new_findings();
    run_.out << (run_.asks ? "\n" : "") << run_.would_be.listing();
    std::vector<FileChange> changes = run_.would_be.changes();
    if (const Exit exit = add_case(changes); exit != Exit::done)
      return run_.talk.left() ? nothing_written(run_) : exit;
    run_.out << "\n" << findings_text(found, run_.would_be.base()) << unnamed_text();
    if (std::any_of(found.begin(), found.end(),
                    [](const Finding& each) { return each.level == Level::error; })) {
      for (const Finding& each : found)
        if (each.level == Level::error) std::cerr << each.text() << "\n";
      run_.out << "Nothing is written.\n";
      return Exit::bad_input;
    }
    if (run_.asks ? !run_.talk.yes("Write it?", true) : !run_.options.yes) {
      if (run_.asks) return nothing_written(run_);
      run_.out << "Nothing is written yet; with --yes it is.\n";
      return print_json(changes, found, false), Exit::answer_is_no;
    }
    const Problems problems = write_files(changes);
    if (!problems.empty()) {
      run_.out << "Nothing is written.\n";
      return tell(problems);
    }
    run_.out << "\nWritten: " << changes.size() << (changes.size() == 1 ? " file.\n" : " files.\n");
    run_.out << "\n" << next_text(rules_folder(run_.options.rules), case_path_);
    print_json(changes, found, true);
    return Exit::done;
  }

 private:
  // Told where answers were given for it.
  Exit leave_case(const std::string& why) const {
    if (!run_.options.seen.empty())
      run_.out << wrapped("No reference case is written: " + why + ".", 0, 0);
    return Exit::done;
  }

  // Adds the case to what is written, where one is wanted.
  Exit add_case(std::vector<FileChange>& changes) {
    const NewThing& thing = run_.would_be.things().front();
    const RuleBase& base = run_.would_be.base();
    const int cause = cause_of_case(thing, base);
    const bool offered = run_.options.case_out.empty();
    if (run_.options.no_case || (offered && !run_.asks)) return Exit::done;
    if (offered && cause < 0) return leave_case("it names no cause that a case could be about");
    if (cause < 0)
      return tell_option("--case-out", problem("it names no cause that a case could be about",
                                               "a rule for a cause, or a check that shows one"));
    const auto seen = answers_of_case(thing, run_.options.seen, base);
    if (!seen) return tell_option("--seen", seen.error());
    const std::string& id = base.causes[static_cast<std::size_t>(cause)].id;
    const std::string path =
        offered ? usual_case_path(rules_folder(run_.options.rules), id) : run_.options.case_out;
    if (offered && seen->empty()) return Exit::done;
    if (offered && std::filesystem::exists(path)) return leave_case(path + " is there already");
    if (seen->empty())
      return tell_option("--case-out", problem("nothing is known of what its vehicle showed",
                                               "--seen \"fact: answer\", once or more"));
    const bool shown = run_.kind == NewKind::check && run_.options.seen.empty();
    const std::string text = reference_case(base, cause, *seen, shown);
    run_.out << listing(path, path, {}, {{path, 0, text}});
    if (offered &&
        !run_.talk.yes("Write this reference case too? It tests that the cause is found.", true))
      return run_.talk.left() ? Exit::answer_is_no : Exit::done;
    case_path_ = path;
    changes.push_back({path, std::nullopt, text});
    return Exit::done;
  }

  // Rules of its family alone never lift a cause above its kin.
  std::string unnamed_text() const {
    if (run_.kind != NewKind::cause) return {};
    for (const NewThing& thing : run_.would_be.things())
      if (thing.kind == NewKind::rule) return {};
    return "  no rule names '" + run_.id + "' itself\n      perrev rules new rule NAME --for " +
           run_.id + ":strong\n";
  }

  void print_json(const std::vector<FileChange>& changes, const std::vector<Finding>& found,
                  bool written) const {
    if (!run_.options.json) return;
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
                          {"command", command_for(each, run_.would_be.base())}});
    std::cout << indented_json(Json{{"kind", name_of(run_.kind)},
                                    {"name", run_.id},
                                    {"written", written},
                                    {"files", files},
                                    {"findings", findings}})
              << "\n";
  }

  NewRun& run_;
  std::string case_path_;
};

}  // namespace

Exit nothing_written(const NewRun& run) {
  run.out << "Nothing is written.\n";
  return Exit::answer_is_no;
}

Exit write_new(NewRun& run) { return Writing(run).finish(); }

}  // namespace perrev
