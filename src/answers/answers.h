// What the program answers in JSON about a case: one set of questions, asked in the same words by
// the server, by the page (where this is compiled to WebAssembly) and by tests.
//
// A request is a JSON object; `case` in it is a case document. Answers are {"ok": ...}, or
// {"problems": [{"where", "what", "right"}]}, never both; `where` is a JSON pointer into the case
// or a word for the part of the request. Requests and answers by name:
//
//   catalogue   {units?}                    the rule base for one who shows it
//   diagnosis   {case, explained?}          as `diagnose --json`; reasons of the first 5 causes
//   ranking     {case}                      causes of 0.1 % and more: cause, name, probability,
//                                           state; not_listed, nothing_left
//   reasons     {case, cause}               one cause with all its evidence
//   plan        {case, ready?}              as `plan --json`
//   road        {case, units?}              as `plan --road --json`, and `text`: the printed page
//   questions   {case, by, skipped?}        next and all: {fact, place or null}; by as in an entry
//   effect      {case, fact, units?}        what each answer would do to the first three causes
//   reading     {fact, typed, case?, units?}  a typed value checked: values, us, metric, limit,
//                                           finding (good, bad, between or null)
//   tire        {text, speed?}              as `tire --json`
//   lines       {case, speed?}              as `orders --json`, for the vehicle of the case
//   phrases     {text, units?}              what a customer's words may mean, to be confirmed:
//                                           found: {fact, value as in an entry, words}
//   check_case  {case}                      {}, or what is wrong with it
//   report      {case, for, units?, estimate?, photos?}  title, html: an article for `customer`
//                                           or `technician` (src/report/report.h)
//   rules       {units?}                    every rule in short, gates and ends by name: for one
//                                           who looks things up in the rule base
//   explain     {name, kind?, case?, units?}  as `rules explain --json`, files named from the
//                                           folder on; kind rule, cause, fact or check, where a
//                                           name has more than one
//   feel        {case, cause, size?, units?, width?}  as `feel --json`, for the vehicle of the case
//                                           and its worst speed; title, rows (speed_km_h,
//                                           probability, places) at speeds for people, marks
//                                           (label, speed_km_h: what was entered, at the true
//                                           speed), svg: the curve in a frame of that width, px
//
//   bay_tools   {units?}                    tools: the forms of the bay
//   bay         {tool, given, case?, place?, class?, units?, width?}  as `bay --json`: what the
//                                           readings say (src/answers/bay/bay_answer.h); a plot
//                                           in a frame of that width, px
//
// Whoever makes an Answerer may bring further answers, which need more than this folder has.
//
// Safe to call from several threads. No files, no clock: the same request gives the same bytes.
#pragma once

#include <memory>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "engine/knowledge/rule_base.h"
#include "engine/result.h"

namespace perrev {

class CaseFile;
struct Reasoning;

struct Asked;
using Answered = Result<nlohmann::ordered_json, Problems>;
struct NamedAnswer {
  std::string_view name;
  Answered (*answer)(const Asked&);
};

class Answerer {
 public:
  // The rule base must outlive it.
  explicit Answerer(const RuleBase& base, const std::vector<NamedAnswer>& further = {});
  ~Answerer();

  bool knows(std::string_view name) const;
  // `case_text`, where given, stands for `case` of the request.
  std::string answer(std::string_view name, std::string_view request,
                     std::string_view case_text = {}) const;
  // What is wrong with a case document; empty: nothing.
  Problems check(const std::string& case_text) const;
  // The list of "ranking", of a case that was read before: for one who keeps it while entries are
  // added. Empty where it cannot be ranked.
  std::string ranking(const CaseFile& file) const;

 private:
  const NamedAnswer* named(std::string_view name) const;

  std::unique_ptr<const Reasoning> reasoning_;
  std::vector<NamedAnswer> answers_;
};

}  // namespace perrev
