// What is said about a wrong phrases.yaml: the whole first line of each problem.
#include <doctest/doctest.h>

#include <string>

#include "tests/engine/knowledge/small_base.h"

namespace {

std::string said(const std::string& text) {
  perrev::small::SmallBase made;
  made.set("phrases.yaml", text);
  return perrev::small::listed(made.complaints());
}

}  // namespace

TEST_CASE("phrases may be missing; those of every part load") {
  perrev::small::SmallBase made;
  CHECK(made.complaints().empty());
  CHECK(made.loaded().phrases.sayings.empty());
  CHECK(said(R"(- says: [the tyre hums]
  means: {hums: yes, felt_at: [seat, steering_wheel]}
  unless: quiet tires
  not: {began_after: nothing}
- says: "between {speed} and {speed}"
  means: {worst_speed: second speed}
- says: on a bad road
  means: {worst_speed: 80 km/h}
- same: [tire, tyre]
- small: [the, a]
- negates: not
- turns: [but]
)")
            .empty());
}

TEST_CASE("wrong phrases: each is told with its place, and makes no other") {
  struct Row {
    const char* text;
    const char* problem;
  };
  const std::string file = "rules/phrases.yaml:";
  for (const Row& row : {
           Row{"- says: [it hums]\n  means: {humms: yes}",
               "2:11: error: unknown fact 'humms'; did you mean 'hums'?"},
           Row{"- says: [it hums]\n  means: {hums: yse}",
               "2:17: error: unknown answer 'yse' of 'hums'; did you mean 'yes'?"},
           Row{"- says: [it hums]\n  means: {felt_at: [seat, sead]}",
               "2:27: error: unknown answer 'sead' of 'felt_at'; did you mean 'seat'?"},
           Row{"- says: [it hums]\n  means: {felt_at: [seat, seat]}",
               "2:27: error: 'seat' stands here twice; each answer once"},
           Row{"- says: [it hums]\n  means: {hums: [yes, no]}",
               "2:17: error: 'hums' takes one answer; a single one"},
           Row{"- says: [it hums]\n  means: {hums: []}",
               "2:17: error: no answer of 'hums' is named; an answer, or a list of answers"},
           Row{"- says: [it hums]\n  means: {words: hum}",
               "2:11: error: no phrase can speak of 'words'; a fact per case that is no text"},
           Row{"- says: [it hums]\n  means: {shaft_play: yes}",
               "2:11: error: no phrase can speak of 'shaft_play'; a fact per case that is no text"},
           Row{"- says: [it hums]\n  means: {}", "2:10: error: no fact is named; {fact: answer}"},
           Row{"- says: [it hums]\n  means: hums",
               "2:10: error: expected a mapping of facts and answers; {fact: answer}"},
           Row{"- says: [it hums]", "1:3: error: phrase means nothing; means: {fact: answer}"},
           Row{"- means: {hums: yes}",
               "1:3: error: phrase has no 'says'; what customers say, one or several ways"},
           Row{"- says: []\n  means: {hums: yes}",
               "1:9: error: 'says' of phrase is an empty list; what customers say, one or several "
               "ways"},
           Row{"- says:\n  means: {hums: yes}",
               "1:3: error: 'says' of phrase is empty; what customers say, one or several ways"},
           Row{"- says: [it hums]\n  maens: {hums: yes}",
               "2:3: error: unknown key 'maens' of phrase; did you mean 'means'?"},
           Row{"- says: [it hums, It HUMMED]\n  means: {hums: yes}",
               "1:19: error: 'It HUMMED' stands here twice; first in line 1; keep one (small words "
               "and endings do not tell them apart)"},
           Row{"- says: [hums, the]\n  means: {hums: yes}\n- small: [the]",
               "1:16: error: 'the' has only small words; one to twelve words that count"},
           Row{"- says: [at 65]\n  means: {hums: yes}",
               "1:10: error: 'at 65' has a number; {speed} or {rpm}"},
           Row{"- says: [\"at {sped}\"]\n  means: {worst_speed: speed}",
               "1:10: error: unknown place of a number 'sped'; did you mean 'speed'?"},
           Row{"- says: [fast]\n  means: {worst_speed: speed}",
               "2:24: error: 'speed' is not in every way it is said; {speed} in each of says"},
           Row{"- says: [\"at {speed}\"]\n  means: {worst_speed: second speed}",
               "2:24: error: 'second speed' is not in every way it is said; {speed} twice in each "
               "of says"},
           Row{"- says: [\"at {rpm}\"]\n  means: {worst_speed: rpm}",
               "2:24: error: 'worst_speed' is not an engine speed; a fact with that unit"},
           Row{"- says: [fast]\n  means: {worst_speed: 500 km/h}",
               "2:24: error: '500 km/h' lies outside what 'worst_speed' can be; from 0 mph to "
               "124.274 mph"},
           Row{"- says: [\"at {speed}\"]\n  means: {hums: yes}\n  not: {worst_speed: speed}",
               "3:22: error: what is negated has no number; an answer"},
           Row{"- same: [tire, big tyre]",
               "1:16: error: 'big tyre' is not one word; a single word; "
               "for more of them use says"},
           Row{"- small: [the]\n- negates: [the]",
               "2:13: error: 'the' stands in a list of words already; each word in one list; "
               "endings as -s, -ing, -ed make no other word"},
           Row{"- small: [the]\n  says: [it hums]",
               "1:3: error: a list of words stands alone; same, small, negates, turns: one an "
               "item"},
           Row{"- hums",
               "1:3: error: phrase must be a mapping; key: value, with says, means, not, "
               "unless, same, small, negates, turns"},
       }) {
    CAPTURE(std::string(row.text));
    CHECK(said(std::string(row.text) + "\n") == file + row.problem + "\n");
  }
  CHECK(said("hums: yes\n") == file +
                                   "1:1: error: expected a list of phrases; - says: [words, "
                                   "...], means: {fact: answer}\n");
}
