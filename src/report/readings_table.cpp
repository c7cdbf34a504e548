#include <algorithm>

#include "engine/quantity/text.h"
#include "src/answers/diagnosis_parts.h"
#include "src/report/report_words.h"
#include "src/report/technician.h"

namespace perrev {

namespace {

// One row a class: while the class is not known, every class is told.
void add_rows(const ReportedCase& of, std::size_t round, const Reading& reading, Html& html) {
  const RuleBase& base = of.base();
  const Fact& fact = fact_of(base, reading.fact);
  const Limit& limit = base.limits[static_cast<std::size_t>(fact.limit)];
  for (const LimitClass* row : limit_rows(base, limit, of.facts().rounds[round].answers))
    html.row({spaced(fact.id), std::to_string(round + 1),
              place_words(base, reading.fact, reading.place),
              answer_words(base, reading, of.units()),
              (limit.lower_is_better ? "to " : "from ") +
                  short_quantity(row->good, fact.unit, of.units()),
              (limit.lower_is_better ? "from " : "to ") +
                  short_quantity(row->bad, fact.unit, of.units()),
              held_words(base, reading), spaced(row->id), row->origin});
}

}  // namespace

void readings_part(const ReportedCase& of, Html& html) {
  const RuleBase& base = of.base();
  const auto is_limited = [&](const Reading& r) { return fact_of(base, r.fact).limit >= 0; };
  Html rows;
  bool any = false;
  rows.open("section").leaf("h2", "Readings and limits").open("table", "readings");
  rows.head_row({"Reading", "Round", "Place", "Read", "Good", "Fault", "Found", "Class", "Origin"});
  rows.open("tbody");
  for (std::size_t r = 0; r < of.facts().rounds.size(); ++r)
    for (const Reading& reading : of.facts().rounds[r].readings) {
      if (!is_limited(reading)) continue;
      add_rows(of, r, reading, rows);
      any = true;
    }
  if (any) html.add(rows);
}

}  // namespace perrev
