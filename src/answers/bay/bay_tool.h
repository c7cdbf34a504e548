// A reckoning of the bay: the form that asks for its readings, and what it makes of them.
//
// A tool is a table of fields and one function. The form on the page, the options of `perrev bay`,
// what is refused and in which words, the limits and the entries for the case are made from that
// by bay_input.h and bay_answer.h: a tool holds arithmetic's words and nothing else. Values are SI.
//
// A request gives each field a text with its unit, or for rows a list of texts, or of lists of
// texts where a row has several columns. All readings of one column are in one unit.
#pragma once

#include <limits>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "engine/casefile/facts_of.h"
#include "engine/knowledge/rule_base.h"
#include "engine/quantity/quantity.h"
#include "engine/result.h"
#include "engine/shopmath/scatter.h"

namespace perrev {

// A quantity on its own, or one column of rows.
struct BayColumn {
  std::string_view id;
  std::string_view label;
  Dimension dimension = Dimension::count;
  double low = 0.0, high = 0.0;  // allowed, both included
  bool required = true;
  // A place round the turn: an angle from 0 to below 360 degrees, or "4 o'clock", "4:30", counted
  // clockwise from the mark at twelve.
  bool around = false;
  bool whole = false;  // a count with nothing behind its point
};

// A column for a place round the turn.
BayColumn place_column(std::string_view id, std::string_view label, bool required = true);
// A column for whole numbers.
BayColumn whole_column(std::string_view id, std::string_view label, double low, double high,
                       bool required = true);

struct BayChoice {
  std::string_view id, label;
  std::string_view fact = {};  // the one it feeds: chosen where a check learns that
};

struct BayField {
  enum class Kind { quantity, choice, rows };

  Kind kind = Kind::quantity;
  std::string_view id;     // of a request; the option has "-" for "_"
  std::string_view label;  // a few words over the field
  std::string_view help;   // a sentence for who must fill it
  bool required = false;
  std::vector<BayColumn> columns;  // one of a quantity, some of rows, none of a choice
  std::vector<BayChoice> choices;
  std::string_view usual;             // a quantity with its unit, or a choice: where none is given
  std::size_t fewest = 1, most = 36;  // rows
};

// As short as can be told.
BayField quantity_field(const BayColumn& column, std::string_view help, bool required = false,
                        std::string_view usual = {});
BayField choice_field(std::string_view id, std::string_view label, std::string_view help,
                      std::vector<BayChoice> choices, std::string_view usual);
BayField rows_field(std::string_view id, std::string_view label, std::string_view help,
                    std::vector<BayColumn> columns, std::size_t fewest, std::size_t most,
                    bool required = true);

// What was given, read and checked: SI.
class BayInput {
 public:
  using Row = std::vector<std::optional<double>>;  // by column

  // Nothing where none is given and none is usual.
  std::optional<double> number(std::string_view field) const;
  double required(std::string_view field) const { return number(field).value(); }
  std::string choice(std::string_view field) const;
  const std::vector<Row>& rows(std::string_view field) const;
  // Of rows of which each has it.
  std::vector<double> column(std::string_view field, std::size_t column) const;

  std::map<std::string, std::vector<Row>, std::less<>> values;
  std::map<std::string, std::string, std::less<>> choices;
  std::map<std::string, std::vector<std::string>, std::less<>> units;  // of rows, by column
};

// A limit with what it says of a value.
struct BayLimit {
  std::string id, origin;  // of its class
  double good = 0.0, bad = 0.0;
};

// What a tool may know beside its readings.
struct BayContext {
  const RuleBase& base;
  const CaseFacts* facts = nullptr;  // of the case at hand; null without one
  Units units = Units::us;
  std::string place;          // word of the rule base: left_front, rear_shaft; empty: not told
  std::string limit_class;    // where the case does not tell which row of a limit applies
  double plot_width = 520.0;  // px, of the frame of a plot

  // The row of the fact's limit that applies; none where it has none, or several are left.
  std::optional<BayLimit> limit(std::string_view fact) const;
  // Id of the answer to a fact of the vehicle; empty where none is known.
  std::string known(std::string_view fact) const;
};

// One result with its 95 % interval, where it has one.
struct BayNumber {
  std::string id;     // key in JSON, the unit is put behind it
  std::string label;  // in the table
  Dimension dimension = Dimension::count;
  double value = 0.0;
  std::optional<Interval> interval = std::nullopt;
  bool turning = false;  // a frequency that people call rpm
};

// What goes into the case: a number (SI) or the id of an answer.
struct BayFeed {
  std::string fact;
  double value = std::numeric_limits<double>::quiet_NaN();
  std::string answer = {};
  // Of 95 %, where it is known: one that reaches from good to bad is not kept.
  std::optional<Interval> interval = std::nullopt;
};

struct BayResult {
  std::vector<std::string> sentences;  // what was found, the most important first
  std::vector<BayNumber> numbers;
  std::vector<BayFeed> feeds;
  std::vector<std::string> cautions, notes;
  std::string svg;  // of plot.h or dial.h; empty: no picture says more
};

struct BayTool {
  std::string_view id;                    // "shaft_speed"; the subcommand has "-" for "_"
  std::string_view name;                  // on a button
  std::string_view what;                  // one sentence: what it takes and what it tells
  std::vector<std::string_view> facts;    // that it may feed
  std::vector<std::string_view> repairs;  // that it helps with, beside checks that learn the facts
  std::vector<BayField> fields;
  // A problem's pointer is "/given/" and the field's id, with "/" and the row where it is one
  // row's.
  Result<BayResult, Problems> (*run)(const BayInput&, const BayContext&);
  // A command line of it, for the help; broken by a backslash before 80 columns.
  std::string_view example = {};
};

// In the order in which they are shown.
const std::vector<BayTool>& bay_tools();
const BayTool* bay_tool(std::string_view id);

// A problem of one field, for `run`.
Problems field_problem(std::string_view field, Problem problem);
// "0.71 mm", or "0.71 mm (0.65 mm to 0.77 mm)" with its interval: three digits, more where the
// interval is narrower than they tell, none that no gauge of the bay shows.
std::string told(double value, Dimension dimension, Units units);
std::string told(const Interval& interval, Dimension dimension, Units units);
std::string told(const BayNumber& number, Units units);
// An edge of a limit: "0.25 oz" as it was set, and in the units it was not set in no more exact
// than it was meant, "7 g".
std::string told_limit(double value, Dimension dimension, Units units);
// "at 72 deg (2:30 o'clock)".
std::string told_place(double angle);

// Of a difference without its sign: from zero where it may be none.
Interval size_of(const Interval& difference);

}  // namespace perrev
