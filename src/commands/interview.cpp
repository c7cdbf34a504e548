#include <algorithm>
#include <chrono>
#include <cstdio>
#include <ctime>
#include <filesystem>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>

#include "engine/json_text.h"
#include "engine/planning/plan.h"
#include "engine/quantity/text.h"
#include "src/answers/diagnosis.h"
#include "src/answers/questions.h"
#include "src/answers/reasoning.h"
#include "src/answers/typed_answer.h"
#include "src/commands/common.h"
#include "src/files.h"
#include "src/rules.h"

namespace perrev {

namespace {

struct InterviewOptions {
  Common common;
  std::string path;
  std::string by = "write_up";
};

class Interview {
 public:
  // `on_disk` is the text that `open` was read from.
  Interview(const Reasoning& reasoning, OpenCase open, std::string on_disk,
            const InterviewOptions& options)
      : base_(reasoning.reasoner.base()),
        reasoner_(reasoning.reasoner),
        planner_(reasoning.planner),
        open_(std::move(open)),
        on_disk_(std::move(on_disk)),
        options_(options),
        by_(options.by == "bay"    ? Asker::bay
            : options.by == "road" ? Asker::road
                                   : Asker::write_up),
        out_(options.common.json ? std::cerr : std::cout) {}

  Exit run() {
    out_ << "Answer by number, by word, or with a number and its unit. At any question:\n"
            "unsure, skip, back, why, done. Every answer is kept in "
         << options_.path << ".\n";
    if (by_ == Asker::road)
      out_ << wrapped(
          "The driver drives, the passenger enters. Obey the law; stop when something feels loose.",
          0, 0);
    const std::string stops = stops_text(base_, open_.facts);
    if (!stops.empty()) out_ << "\n" << stops << "It must not be driven; the questions go on.\n";
    for (;;) {
      const auto question = pick();
      if (!question) {
        out_ << (by_ == Asker::write_up
                     ? "\nNothing more to ask here that would be worth its minutes.\n"
                     : "\nNothing more to do here before what the diagnosis says next.\n");
        break;
      }
      const Step step = ask(*question);
      if (step == Step::failed) return Exit::bad_input;
      if (step == Step::leave) break;
    }
    return close();
  }

 private:
  enum class Step { go_on, leave, failed };

  const Fact& fact(int i) const { return base_.facts[static_cast<std::size_t>(i)]; }

  std::optional<Question> pick() {
    ranking_ = rank(reasoner_, open_.facts);
    offers_ = offers_of(base_, open_.facts);
    return next_question({planner_, open_, ranking_, by_, skipped_});
  }

  Step ask(const Question& question) {
    const Fact& of = fact(question.fact);
    const std::string place = question.place < 0 || of.kind == FactKind::text
                                  ? ""
                                  : places_of(of.per)[static_cast<std::size_t>(question.place)];
    out_ << "\n" << question_text(of, place, options_.common.units());
    if (!place.empty()) out_ << "    (before it `all`: the same for every place that is left)\n";
    for (;;) {
      out_ << "> " << std::flush;
      const std::optional<std::string> line = typed_line(std::cin);
      if (!line) {
        out_ << "\n";
        return Step::leave;
      }
      std::string typed(trimmed(*line));
      const std::string word = lower_case(typed);
      if (word == "done") return Step::leave;
      if (word == "skip") {
        skipped_.insert(question);
        return Step::go_on;
      }
      if (word == "back") return go_back();
      if (word == "why") {
        why(question);
        continue;
      }
      if (word == "?" || word == "help") {
        out_ << wrapped(of.how.empty() ? "Answer as well as you can; unsure is an answer." : of.how,
                        4, 4);
        continue;
      }
      Entry entry;
      entry.by = by_;
      entry.fact = of.id;
      if (of.kind != FactKind::text) entry.place = place;
      const bool all =
          word.rfind("all ", 0) == 0 && question.place >= 0 && of.kind != FactKind::text;
      if (all) typed = std::string(trimmed(std::string_view(typed).substr(4)));
      if (lower_case(typed) == "unsure") {
        entry.unsure = true;
      } else {
        auto values = read_typed(of, typed, options_.common.units());
        if (values) {
          const auto reading = read_value(base_, question.fact, *values, open_.facts.vehicle);
          if (!reading) values = reading.error();
        }
        if (!values) {
          out_ << wrapped(values.error().what +
                              (values.error().right.empty() ? "" : "; " + values.error().right),
                          4, 4);
          continue;
        }
        entry.values = std::move(values).value();
        entry.is_list = of.kind == FactKind::several || entry.values.size() > 1;
      }
      return keep_at(std::move(entry), question, all);
    }
  }

  // One entry, or one for each place that nothing is known of yet.
  Step keep_at(Entry entry, const Question& question, bool all) {
    echo(entry, fact(question.fact));
    if (!all) return keep(std::move(entry), &question);
    Question at = question;
    const std::vector<std::string>& places = places_of(fact(question.fact).per);
    for (at.place = question.place; at.place < static_cast<int>(places.size()); ++at.place) {
      if (open_.facts.now().find(at.fact, at.place)) continue;
      entry.place = places[static_cast<std::size_t>(at.place)];
      const Step step = keep(entry, &at);
      if (step != Step::go_on) return step;
    }
    return Step::go_on;
  }

  // A number is shown as it was understood, in both systems of units.
  void echo(const Entry& entry, const Fact& of) {
    if (of.kind != FactKind::number || entry.values.empty()) return;
    const auto value = parse_quantity(entry.values.front(), of.unit);
    if (!value) return;
    const std::string us = show(*value, of.unit, Units::us),
                      metric = show(*value, of.unit, Units::metric);
    out_ << "    read as " << us << (us == metric ? "" : ", that is " + metric) << "\n";
  }

  std::vector<int> stops_in_force() const {
    std::vector<int> out;
    for (const StopState& stop : open_.facts.stops)
      if (!stop.lifted) out.push_back(stop.fact);
    return out;
  }

  // Adds the entry, reads the whole case anew, and writes it before anything else is asked.
  Step keep(Entry entry, const Question* question) {
    const std::vector<int> stops_before = stops_in_force();
    CaseFile longer = open_.file;
    entry.at = next_moment(open_.file);
    longer.add(std::move(entry));
    const std::string text = longer.text();
    auto read = read_longer(options_.path, text, base_);  // else it is not kept
    if (!read) {
      for (const Problem& p : read.error())
        out_ << wrapped(p.what + (p.right.empty() ? "" : "; " + p.right), 4, 4);
      return Step::go_on;
    }
    const auto on_disk = read_file(options_.path, kLargestCaseFile);
    if (!on_disk || *on_disk != on_disk_) {
      tell(Problem{{options_.path, 0, 0, {}},
                   "was changed by somebody else meanwhile; this answer is not kept",
                   "start the interview again: it goes on with what stands there",
                   {}});
      return Step::failed;
    }
    const Problems problems = write_files({{options_.path, on_disk_, text}});
    if (!problems.empty()) {
      tell(problems);
      return Step::failed;
    }
    on_disk_ = text;
    open_ = std::move(read).value();
    if (question) given_.push_back({open_.file.entries().back().id, *question});
    const std::vector<int> stops = stops_in_force();
    if (!std::includes(stops_before.begin(), stops_before.end(), stops.begin(), stops.end())) {
      out_ << "\n"
           << stops_text(base_, open_.facts)
           << "The interview ends here. It can go on later with the same case.\n";
      return Step::leave;
    }
    return Step::go_on;
  }

  Step go_back() {
    if (given_.empty()) {
      out_ << "    There is no answer of this interview to go back to.\n";
      return Step::go_on;
    }
    const Given last = given_.back();
    given_.pop_back();
    Entry entry;
    entry.kind = Entry::Kind::retraction;
    entry.by = by_;
    entry.retracts = last.entry;
    const Step kept = keep(std::move(entry), nullptr);
    return kept == Step::go_on ? ask(last.question) : kept;
  }

  void why(const Question& question) {
    std::vector<int> top;
    for (std::size_t i = 0; i < 3 && i < ranking_.causes.size(); ++i)
      top.push_back(ranking_.causes[i].cause);
    if (is_computed(reasoner_, question.fact)) {
      out_ << wrapped(kComputedNote, 4, 4);
      return;
    }
    const auto after =
        outcomes(reasoner_, open_.facts, ranking_, question.fact, top, options_.common.units());
    if (after.empty()) {
      out_ << wrapped(kOnlyArithmeticNote, 4, 4);
      return;
    }
    for (const GateState& gate : offers_.gates)
      if (std::find(gate.missing.begin(), gate.missing.end(), question.fact) !=
          gate.missing.end()) {
        out_ << wrapped("Nobody drives it before this is answered.", 4, 4);
        break;
      }
    out_ << "    What each answer would do to the first three, each taken alone:\n";
    for (std::size_t i = 0; i < top.size(); ++i)
      out_ << wrapped(std::string(1, static_cast<char>('A' + i)) + "  " +
                          base_.causes[static_cast<std::size_t>(top[i])].name,
                      4, 7);
    for (const Outcome& outcome : after) {
      char row[64];
      std::string line = "    " + outcome.label;
      if (line.size() > 44) line.resize(44);
      line += std::string(46 - line.size(), ' ');
      for (std::size_t i = 0; i < top.size(); ++i) {
        std::snprintf(row, sizeof row, "%c %3.0f %%  ", static_cast<char>('A' + i),
                      100.0 * outcome.causes_after[i]);
        line += row;
      }
      out_ << line.substr(0, kColumns) << "\n";
    }
  }

  Exit close() {
    const Diagnosis diagnosis = diagnose(planner_, open_.file, open_.facts);
    if (options_.common.json)
      std::cout << indented_json(to_json(reasoner_, open_.file, open_.facts, diagnosis)) << "\n";
    else
      std::cout << "\n"
                << to_text(reasoner_, open_.file, open_.facts, diagnosis, 3,
                           options_.common.units());
    return Exit::done;
  }

  struct Given {
    std::string entry;
    Question question;
  };

  const RuleBase& base_;
  const Reasoner& reasoner_;
  const Planner& planner_;
  OpenCase open_;
  std::string on_disk_;  // what this interview last read or wrote
  const InterviewOptions& options_;
  Asker by_;
  std::ostream& out_;
  Ranking ranking_;
  Offers offers_;
  std::set<Question> skipped_;
  std::vector<Given> given_;
};

Exit run(InterviewOptions options) {
  const auto base = load_rules(rules_folder(options.common.rules));
  if (!base) return tell(base.error());
  if (options.path.empty())
    options.path = "case-" + utc(std::time(nullptr), "%Y%m%d-%H%M%S") + ".json";
  if (options.path == "-")
    return tell(problem("an interview needs a file for its case", "perrev interview case.json"));
  options.path = link_target(options.path);
  std::error_code unknown;
  const auto status = std::filesystem::status(options.path, unknown);
  if (status.type() == std::filesystem::file_type::not_found) {
    const Problems problems = write_file(options.path, CaseFile().text());
    if (!problems.empty()) return tell(problems);
  }
  const auto text = read_file(options.path, kLargestCaseFile);
  if (!text) return tell(text.error());
  auto open = read_case(options.path, *text, *base);
  if (!open) return tell(open.error());
  const Reasoning reasoning(*base);
  return Interview(reasoning, std::move(open).value(), *text, options).run();
}

}  // namespace

void add_interview_command(CLI::App& app, Action& chosen) {
  CLI::App* command =
      app.add_subcommand("interview", "Ask one question at a time and keep the answers in a case");
  const auto options = std::make_shared<InterviewOptions>();
  command
      ->add_option("CASE", options->path,
                   "the case file; made if there is none, gone on with if there is")
      ->type_name("FILE");
  command->add_option("--by", options->by, "who answers: write_up, road or bay")
      ->check(CLI::IsMember({"write_up", "road", "bay"}))
      ->capture_default_str();
  add_units_and_json(*command, options->common);
  add_rules_option(*command, options->common);
  command->footer("Example: perrev interview my-case.json --by write_up");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
