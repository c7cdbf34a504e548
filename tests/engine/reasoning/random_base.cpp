#include "tests/engine/reasoning/random_base.h"

#include <algorithm>
#include <cstdio>
#include <stdexcept>

namespace perrev::testing {

namespace {

std::string decimal(double value, const char* format = "%.6f") {
  char text[32];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

struct Draft {
  std::string id;
  std::string kind;                  // one, several, yesno, number, limited
  std::vector<std::string> answers;  // for conditions; of a number: ranges
  bool per_case = true;
  int sheets = 1;  // over all places
};

const std::vector<std::string> kKinds = {"one", "several", "yesno", "yesno", "number", "limited"};
const std::vector<std::string> kStrengths = {"hint",   "some",        "fair",
                                             "strong", "very_strong", "telling"};

int places_in(const std::string& per) { return per == "wheel" ? 4 : per == "case" ? 1 : 2; }

int power(int base, int exponent) {
  int out = 1;
  for (int i = 0; i < exponent; ++i) out *= base;
  return out;
}

class Writer {
 public:
  // One draw a statement: compilers take the parts of a sum in orders of their own.
  explicit Writer(Lcg& random) : random_(random) {}

  std::vector<SourceFile> files() {
    const int causes = random_.between(3, 6);
    for (int c = 0; c < causes; ++c) causes_.push_back("c" + std::to_string(c));
    add("families.yaml",
        "fam0: {name: Family 0}\nfam1: {name: Family 1}\nfam2: {name: Family 2}\n");
    write_strengths();
    write_facts();
    write_causes();
    write_rules();
    std::vector<std::string> ids;
    for (const Draft& fact : facts_) ids.push_back(fact.id);
    const Draft& condition = case_fact();
    add_random_path(random_, ids, causes_, condition.id, condition.answers, files_);
    return files_;
  }

 private:
  void add(const std::string& name, const std::string& text) {
    files_.push_back({name, name, text});
  }

  void write_strengths() {
    const double pairs = random_.chance(0.15) ? 0.0 : random_.real(0.05, 0.4);
    add("strengths.yaml",
        "strengths: {hint: 1.5, some: 2.5, fair: 4, strong: 8, very_strong: 20, telling: 60}\n"
        "usual_words: {common: 20, rare: 3}\n"
        "shares: {not_listed: " +
            decimal(random_.real(0.02, 0.3)) + ", pairs: " + decimal(pairs) +
            "}\n"
            "likely_from: 0.5\n");
  }

  std::string rate() {
    return decimal(random_.chance(0.2) ? random_.real(0.005, 0.05) : random_.real(0.05, 0.95));
  }

  void write_facts() {
    const std::string loose = rate(), sound = rate(), smoke = rate();
    facts_text_ =
        "loose: {ask: Loose, kind: yesno, base: " + loose +
        ", asked_at: [write_up, bay], clear: no, "
        "stop: {answers: [yes], reason: Loose, caution: Do not drive, cleared_by: sound}}\n"
        "sound: {ask: Sound, kind: yesno, base: " +
        sound +
        ", asked_at: [bay], clear: yes}\n"
        "smoke: {ask: Smoke, kind: yesno, base: " +
        smoke +
        ", asked_at: [road], "
        "stop: {answers: [yes], reason: Smoke, caution: Do not drive, cleared_by: sound}}\n";
    for (const char* id : {"loose", "sound", "smoke"})
      facts_.push_back({id, "yesno", {"no", "yes"}, true, 2});
    limits_text_.clear();
    place_ = random_.pick(std::vector<std::string>{"wheel", "axle", "shaft"});
    const int wanted = random_.between(2, 7);
    int sheets = 8;
    for (int i = 0; i < wanted; ++i) {
      const std::string per = random_.chance(0.3) ? random_.chance(0.9) ? place_ : "axle" : "case";
      Draft made = draft("f" + std::to_string(i), random_.pick(kKinds), per);
      if (sheets * made.sheets > kMostSheets) made = draft(made.id, "yesno", "case");
      if (sheets * made.sheets > kMostSheets) break;
      sheets *= made.sheets;
      facts_.push_back(made);
      facts_text_ += made.id + ": {" + written_ + "}\n";
      limits_text_ += limit_;
    }
    if (random_.chance(0.3))
      facts_text_ += "words: {ask: Words, kind: text, asked_at: [write_up]}\n";
    add("facts.yaml", facts_text_);
    add("limits.yaml", limits_text_.empty() ? "{}\n" : limits_text_);
  }

  // Leaves the fact's fields in written_ and its limit in limit_.
  Draft draft(const std::string& id, const std::string& kind, const std::string& per) {
    Draft out{id, kind, {}, per == "case", 1};
    const std::string yaml_kind = kind == "limited" ? "number" : kind;
    written_ =
        "ask: Which, kind: " + yaml_kind + ", per: " + per + ", asked_at: [" +
        random_.pick(std::vector<std::string>{"write_up", "road", "bay", "write_up, road, bay"}) +
        "]";
    limit_.clear();
    int size = 2;
    if (kind == "one" || kind == "several") {
      size = random_.between(2, kind == "one" && per == "case" ? 4 : 3);
      answers(out, size);
      if (kind == "several") size = power(2, size);
    } else if (kind == "yesno") {
      out.answers = {"no", "yes"};
      written_ += ", base: " + rate();
    } else if (kind == "number") {
      size = numbers(out);
    } else {
      limited(out);
    }
    out.sheets = power(size, places_in(per));
    const bool two = kind == "yesno" || kind == "several" || kind == "limited";
    if (two && random_.chance(0.5)) written_ += ", together: any";
    if (random_.chance(0.35)) written_ += ", lasts: vehicle";
    if (random_.chance(0.15)) written_ += ", asked_if: {loose: no}";
    if (random_.chance(0.1)) written_ += ", after_repair: yes";
    return out;
  }

  void answers(Draft& out, int size) {
    std::string words, rates;
    double left = 1.0;
    for (int a = 0; a < size; ++a) {
      const std::string id = "a" + std::to_string(a);
      const double share = a + 1 == size ? left : left * random_.real(0.1, 0.8);
      left -= share;
      out.answers.push_back(id);
      words += (a == 0 ? "" : ", ") + id + ": Answer";
      rates +=
          (a == 0 ? "" : ", ") + id + ": " + (out.kind == "one" ? decimal(share, "%.9f") : rate());
    }
    written_ += ", answers: {" + words + "}, base: {" + rates + "}";
  }

  // Bands are made by two thresholds at most; the base is cumulative at quantities of its own.
  int numbers(Draft& out) {
    const int low = random_.between(3, 8) * 10, high = low + random_.between(1, 6) * 10;
    const std::string a = std::to_string(low), b = std::to_string(high);
    out.answers = {".." + a + " km/h", a + " km/h.."};
    const bool two = random_.chance(0.6);
    if (two)
      out.answers = {".." + a + " km/h", a + ".." + b + " km/h", b + " km/h..", ".." + b + " km/h"};
    written_ += ", unit: speed, range: 0..200 km/h, base: {40 km/h: ";
    written_ += decimal(random_.real(0.05, 0.3)) + ", 80 km/h: ";
    written_ += decimal(random_.real(0.31, 0.7)) + ", 120 km/h: ";
    written_ += decimal(random_.real(0.71, 0.95)) + "}";
    return two ? 3 : 2;
  }

  void limited(Draft& out) {
    out.answers = {"good", "bad"};
    written_ += ", unit: length, range: 0..10 mm, base: " + rate();
    const bool lower = random_.chance(0.7);
    const auto row = [&](int good, int bad) {
      return "{good: " + std::to_string(lower ? good : 10 - good) +
             " mm, bad: " + std::to_string(lower ? bad : 10 - bad) + " mm, origin: invented}";
    };
    limit_ = out.id + ": {better: " + (lower ? "lower" : "higher");
    std::vector<const Draft*> ones;
    for (const Draft& fact : facts_)
      if (fact.kind == "one" && fact.per_case) ones.push_back(&fact);
    if (!ones.empty() && random_.chance(0.6)) {
      const Draft& by = *random_.pick(ones);
      const bool other = random_.chance(0.6);
      limit_ += ", class_by: " + by.id + ", classes: {a0: " + row(2, 4);
      for (std::size_t a = 1; a < by.answers.size() && !other; ++a)
        limit_ += ", " + by.answers[a] + ": " + row(3 + static_cast<int>(a % 2), 6);
      limit_ += (other ? ", other: " + row(3, 6) : "") + "}}\n";
    } else {
      limit_ += ", classes: {all: " + row(3, random_.chance(0.3) ? 3 : 5) + "}}\n";
    }
  }

  const Draft& case_fact() {
    for (;;) {
      const Draft& found = random_.pick(facts_);
      if (found.per_case) return found;
    }
  }

  void write_causes() {
    std::string text, repairs;
    std::vector<std::string> cures(causes_.size());
    for (std::size_t c = 0; c < causes_.size(); ++c) {
      const std::size_t repair =
          random_.chance(0.7) ? c
                              : static_cast<std::size_t>(random_.below(static_cast<int>(c) + 1));
      cures[repair] += (cures[repair].empty() ? "" : ", ") + causes_[c];
      const int family = c < 3 ? static_cast<int>(c) : random_.below(3);
      text += causes_[c] + ":\n  name: Cause " + causes_[c] + "\n  family: fam" +
              std::to_string(family) + "\n  usual: " +
              (random_.chance(0.2) ? "rare" : decimal(random_.real(0.2, 60.0), "%.3f")) +
              "\n  repair: r" + std::to_string(repair) + "\n  proof: It is gone\n  shown_by: bay\n";
      if (random_.chance(0.3)) text += "  needs: {" + need() + "}\n";
      if (random_.chance(0.2)) {
        const std::string& other = random_.pick(causes_);
        if (other != causes_[c]) text += "  not_with: [" + other + "]\n";
      }
    }
    for (std::size_t r = 0; r < cures.size(); ++r)
      if (!cures[r].empty())
        repairs += "r" + std::to_string(r) +
                   ": {what: Repair, minutes: 30, parts: small, cures: [" + cures[r] +
                   "], proof: Drive}\n";
    add("causes/all.yaml", text);
    add("repairs.yaml", repairs);
  }

  std::string need() {
    for (;;) {
      const Draft& fact = case_fact();
      if (fact.kind == "number" || fact.kind == "limited") continue;
      if (fact.kind == "one" && fact.answers.size() > 2 && random_.chance(0.5)) {
        std::vector<std::string> some = fact.answers;
        random_.shuffle(some);
        some.resize(2);
        return fact.id + ": [" + joined(some) + "]";
      }
      return fact.id + ": " + random_.pick(fact.answers);
    }
  }

  std::string leaf(const Draft& fact) {
    const bool list = fact.answers.size() > 2 && random_.chance(0.3);
    if (!list) return fact.id + ": " + random_.pick(fact.answers);
    std::vector<std::string> some = fact.answers;
    random_.shuffle(some);
    some.resize(2);
    return fact.id + ": [" + joined(some) + "]";
  }

  std::string condition() {
    const Draft &one = random_.pick(facts_), &other = random_.pick(facts_);
    const std::string a = leaf(one), b = leaf(other);
    switch (random_.below(10)) {
      case 0:
        return "{not: {" + a + "}}";
      case 1:
        return "{any: [{" + a + "}, {" + b + "}]}";
      case 2:
        return "{all: [{" + a + "}, {not: {" + b + "}}]}";
      case 3:
        return "{" + a + ", not: {any: [{" + b + "}, {" + leaf(one) + "}]}}";
      case 4:
      case 5:
        return one.id == other.id ? "{" + a + "}" : "{" + a + ", " + b + "}";
      default:
        return "{" + a + "}";
    }
  }

  void write_rules() {
    std::string text;
    const int rules = random_.between(3, 10);
    for (int r = 0; r < rules; ++r) {
      std::vector<std::string> names = causes_;
      if (random_.chance(0.3)) names.push_back("nothing_left");
      random_.shuffle(names);
      names.resize(static_cast<std::size_t>(random_.between(1, 3)));
      std::string in_favour, against;
      for (const std::string& name : names)
        (random_.chance(0.65) ? in_favour : against) +=
            name + ": " + random_.pick(kStrengths) + ", ";
      if (random_.chance(0.2)) {
        in_favour += "fam" + std::to_string(random_.below(3)) + ": ";
        in_favour += random_.pick(kStrengths) + ", ";
      }
      text += "- rule: rule" + std::to_string(r) + "\n  when: " + condition() + "\n";
      if (!in_favour.empty())
        text += "  for: {" + in_favour.substr(0, in_favour.size() - 2) + "}\n";
      if (!against.empty()) text += "  against: {" + against.substr(0, against.size() - 2) + "}\n";
      text += "  because: Rule " + std::to_string(r) + ".\n  origin: invented\n";
    }
    add("evidence/all.yaml", text);
  }

  Lcg& random_;
  std::vector<SourceFile> files_;
  std::vector<std::string> causes_;
  std::vector<Draft> facts_;
  std::string facts_text_, limits_text_, written_, limit_, place_;
};

}  // namespace

std::string joined(const std::vector<std::string>& words) {
  std::string out;
  for (const std::string& word : words) out += (out.empty() ? "" : ", ") + word;
  return out;
}

std::vector<SourceFile> random_files(Lcg& random) { return Writer(random).files(); }

RuleBase random_base(Lcg& random) {
  for (;;) {
    auto loaded = load_rule_base(random_files(random));
    if (loaded) return std::move(loaded).value();
    for (const Problem& problem : loaded.error())
      if (problem.what.find("of different kinds of place together") == std::string::npos)
        throw std::runtime_error(problem.text());
  }
}

}  // namespace perrev::testing
