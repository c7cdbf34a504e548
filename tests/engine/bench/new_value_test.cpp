// What a trainer says for a field, read into the value of the file; and that all is asked for.
#include "engine/bench/new_value.h"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "engine/bench/new_question.h"
#include "engine/bench/yaml_write.h"
#include "tests/engine/knowledge/small_base.h"

using namespace perrev;
using namespace perrev::small;

namespace {

struct Row {
  NewKind kind;
  const char* key;
  std::vector<std::string> said;
  const char* value;  // as it is written, or "! " and the problem
};

const std::vector<Row>& rows() {
  static const std::vector<Row> all = {
      {NewKind::cause, "name", {"{a [b"}, "\"{a [b\""},
      {NewKind::cause, "family", {"wheels"}, "wheels"},
      {NewKind::cause, "family", {"wheel"}, "! there is no \"wheel\" here; did you mean 'wheels'?"},
      {NewKind::cause, "usual", {"3"}, "3"},
      {NewKind::cause,
       "shakes",
       {"tire: 1: 0.7", "engine:2..3"},
       "[{source: tire, order: 1, share: 0.7}, {source: engine, order: \"2..3\"}]"},
      {NewKind::cause, "shakes", {"tyre: 1"}, "! there is no \"tyre\" here; did you mean 'tire'?"},
      {NewKind::cause,
       "shakes",
       {"tire"},
       "! \"tire\" has no order; a part and its order, as engine: 2"},
      {NewKind::cause, "needs", {"driven_axle: rear"}, "{driven_axle: rear}"},
      {NewKind::cause,
       "needs",
       {"driven_axle: [rear"},
       "! there is no \"[rear\" here; did you mean 'rear'?"},
      {NewKind::cause,
       "not_with",
       {"bent_rim, worn_joint", "wheel_imbalance"},
       "[bent_rim, worn_joint, wheel_imbalance]"},
      {NewKind::fact, "base", {"0.04"}, "0.04"},
      {NewKind::fact, "base", {"torn:0.04", "whole: 0.96"}, "{torn: 0.04, whole: 0.96}"},
      {NewKind::fact, "base", {"1.5: 0.1"}, "{\"1.5\": 0.1}"},
      {NewKind::fact,
       "answers",
       {"torn: It is torn: so", "whole: no"},
       "{torn: \"It is torn: so\", whole: \"no\"}"},
      {NewKind::fact, "answers", {"torn"}, "! \"torn\" has no colon; name: value"},
      {NewKind::fact, "answers", {"a: A", "a: B"}, "! \"a\" is named twice; each once"},
      {NewKind::fact, "asked_at", {"road, bay"}, "[road, bay]"},
      {NewKind::rule,
       "when",
       {"felt_at: seat, steering_wheel", "worst_speed: 55..75 mph"},
       "{felt_at: [seat, steering_wheel], worst_speed: \"55..75 mph\"}"},
      {NewKind::rule, "when", {"{not: {hums: yes}}"}, "{not: {hums: yes}}"},
      {NewKind::rule,
       "when",
       {"{not: {hums"},
       "! a key must be plain text; name: value, and every bracket closed"},
      {NewKind::rule, "when", {"hum: yes"}, "! no fact is called \"hum\"; did you mean 'hums'?"},
      {NewKind::rule,
       "for",
       {"bent_rim:strong", "shafts: some"},
       "{bent_rim: strong, shafts: some}"},
      {NewKind::rule,
       "for",
       {"bent_rim:stong"},
       "! there is no \"stong\" here; did you mean 'strong'?"},
      {NewKind::rule, "for", {"nothing_left: some"}, "{nothing_left: some}"},
      {NewKind::check, "confirms", {"bent_rim: rim_runout: bad"}, "{bent_rim: {rim_runout: bad}}"},
      {NewKind::check, "confirms", {"bent_rim: bad"}, "{bent_rim: bad}"},
      {NewKind::check,
       "confirms",
       {"bent_rim: hums: yes", "bent_rim: shaft_play: no"},
       "{bent_rim: {hums: yes, shaft_play: no}}"},
      {NewKind::check,
       "confirms",
       {"bent_rim: hums: yes", "bent_rim: hums: no"},
       "! \"bent_rim\" is named twice; each once"},
      {NewKind::check, "minutes", {"2", "3"}, "! it is said twice; once"},
      {NewKind::check, "learns", {","}, "! nothing was said; one or more, with commas"},
      {NewKind::edge, "from", {"start"}, "[start]"},
      {NewKind::edge, "when", {"passed"}, "passed"},
  };
  return all;
}

}  // namespace

TEST_CASE("what is said for a field is the value that the file will hold") {
  const RuleBase base = SmallBase().loaded();
  for (const Row& row : rows()) {
    const Field* field = field_of(fields_of(row.kind), row.key);
    REQUIRE(field);
    const auto read = read_field(*field, row.said, base);
    const bool prose = field->shape.of == "answers";
    CAPTURE(row.key);
    CHECK((read ? yaml_value(*read, prose ? Spelling::prose : Spelling::format)
                : "! " + read.error().what + "; " + read.error().right) == row.value);
  }
}

TEST_CASE("control characters, line ends and broken UTF-8 are refused in every field") {
  const RuleBase base = SmallBase().loaded();
  for (const NewKind kind : {NewKind::fact, NewKind::cause, NewKind::rule, NewKind::check})
    for (const Field& field : fields_of(kind))
      for (const char* said : {"a\nb", "a\x01", "\xff", "a\r"})
        CHECK(!read_field(field, {said}, base).ok());
}

TEST_CASE("whatever a file needs is asked for, and every question is about a field") {
  for (const NewKind kind : {NewKind::fact, NewKind::cause, NewKind::repair, NewKind::rule,
                             NewKind::check, NewKind::edge}) {
    for (const NewQuestion& question : questions_of(kind)) {
      CAPTURE(question.key);
      CHECK(field_of(fields_of(kind), question.key));
      CHECK(!question.ask.empty());
    }
    for (const Field& field : fields_of(kind)) {
      const bool known_anyway = field.key == "rule" || field.key == "cures" || field.key == "to";
      if (!field.required || known_anyway) continue;
      bool asked = false;
      for (const NewQuestion& question : questions_of(kind))
        asked = asked ||
                (question.key == field.key && (question.needed || !question.otherwise.empty()));
      CAPTURE(field.key);
      CHECK(asked);
    }
  }
}
