// A case on paper: one page for the customer, or everything for the technician, as static HTML.
//
// A report is a fragment with classes only: no script, no style, no outside resource. The page
// shows it with report_style() as a sheet of its own; whole_document() puts that into a document
// for a file. Whatever a case says is escaped. The customer's page uses plain words: no ids, and of
// probabilities only "likely" and "shown". The same case gives the same bytes.
#pragma once

#include <string>
#include <string_view>

#include "engine/planning/planner.h"
#include "src/answers/diagnosis.h"
#include "src/answers/open_case.h"

namespace perrev {

enum class Reader { customer, technician };

struct ReportOptions {
  Units units = Units::us;
  std::string estimate;  // customer: the line of the estimate; may be empty
  bool photos = false;   // technician: shown, where the case holds them
  std::string version;   // of the program
};

struct ReportedCase {
  const Planner& planner;
  const OpenCase& open;
  const Diagnosis& diagnosis;
  const ReportOptions& options;

  const Reasoner& reasoner() const { return planner.reasoner(); }
  const RuleBase& base() const { return planner.reasoner().base(); }
  const CaseFile& file() const { return open.file; }
  const CaseFacts& facts() const { return open.facts; }
  Units units() const { return options.units; }
};

struct Report {
  std::string title;  // plain text
  std::string html;   // one <article class="report ...">
};

Report customer_report(const ReportedCase& of);
Report technician_report(const ReportedCase& of);

// Diagnoses the case and reports on it.
Report report_of(const Planner& planner, const OpenCase& open, Reader reader,
                 const ReportOptions& options);

std::string_view report_style();
std::string whole_document(const Report& report);

}  // namespace perrev
