#include "src/report/rules_diff_page.h"

#include <algorithm>

#include "engine/quantity/text.h"
#include "src/answers/words.h"
#include "src/report/html.h"

namespace perrev {

namespace {

std::string tenths(double share) { return fixed(100.0 * share, 1) + " %"; }

class DiffPage {
 public:
  DiffPage(const RulesDiff& diff, const std::string& version) : diff_(diff), version_(version) {}

  Report all() {
    html_.open("article", "report technician diff");
    head();
    rules();
    cases();
    simulated();
    html_.open("footer").leaf("p", "Made by perrev " + version_ + ", rules diff.").close();
    return {"What changed in the rules: " + diff_.before.name + " to " + diff_.after.name,
            html_.take()};
  }

 private:
  void head() {
    html_.open("header").leaf("h1", "What changed in the rules").open("dl", "facts");
    const auto item = [&](const char* name, const ComparedBase& base) {
      const std::string commit = base.commit.empty() ? "" : ", commit " + base.commit.substr(0, 10);
      html_.open("div").leaf("dt", name).open("dd").leaf("strong", base.name);
      html_.text(commit + ", digest " + base.digest).close().close();
    };
    item("Old rules", diff_.before);
    item("New rules", diff_.after);
    html_.close();
    html_.leaf("p", "Rules: " + counted(diff_.rules) + ".");
    html_.leaf("p", "Reference cases: " + counted_cases(diff_) + ".");
    if (diff_.breaks())
      html_.leaf("p", "A case that held before holds no more.", "stop", "role=\"note\"");
    html_.close();
  }

  void rules() {
    html_.open("section").leaf("h2", "Rules");
    if (diff_.rules.empty()) {
      html_.leaf("p", "Nothing changed in what they say.").close();
      return;
    }
    html_.open("table", "what").head_row({"What", "How"}).open("tbody");
    for (const RuleChange& change : diff_.rules) rule(change);
    html_.close().close().close();
  }

  void rule(const RuleChange& change) {
    html_.open("tr")
        .open("th", {}, "scope=\"row\"")
        .text(change.kind + " ")
        .leaf("code", change.id);
    html_.close().open("td");
    if (change.how == HowChanged::changed) {
      fields(change);
    } else {
      html_.open("p").leaf("strong", name_of(change.how));
      if (!change.title.empty()) html_.text(": " + change.title);
      html_.close();
      if (!change.perhaps.empty()) html_.leaf("p", perhaps_words(change), "quiet");
      html_.open("details").leaf("summary", "What it says");
      fields(change);
      html_.close();
    }
    html_.close().close();
  }

  void fields(const RuleChange& change) {
    html_.open("ul");
    for (const FieldChange& field : change.fields)
      html_.leaf("li", change.how == HowChanged::changed ? words_of(field) : all_of(field));
    html_.close();
  }

  static std::string all_of(const FieldChange& field) {
    const std::vector<std::string>& said = field.before.empty() ? field.after : field.before;
    return (field.field.empty() ? "" : field.field + ": ") + joined(said);
  }

  void cases() {
    html_.open("section").leaf("h2", "Reference cases that come out differently");
    if (diff_.otherwise.empty()) {
      html_.leaf("p", "None.").close();
      return;
    }
    html_.open("table", "cases");
    html_.head_row({"Case", "True cause before", "and after", "Rank"}).open("tbody");
    for (const CaseChange& change : diff_.otherwise) one_case(change);
    html_.close().close().close();
  }

  void one_case(const CaseChange& change) {
    const std::vector<Placed>&was = change.before.truth, &is = change.after.truth;
    const std::size_t rows = std::max<std::size_t>(1, std::max(was.size(), is.size()));
    const std::vector<std::string> lines = lines_of(change);
    for (std::size_t i = 0; i < rows; ++i) {
      html_.open("tr", i + 1 < rows || !lines.empty() ? "goes-on" : "");
      html_.open("th", {}, "scope=\"row\"");
      if (i == 0) html_.leaf("strong", change.after.tested.name);
      if (i < std::max(was.size(), is.size()))
        html_.open("span", "after").leaf("code", (is.empty() ? was : is)[i].cause).close();
      html_.close();
      share(was, i);
      share(is, i);
      html_.leaf("td", ranks(was, is, i), "number").close();
    }
    if (lines.empty()) return;
    html_.open("tr").open("td", {}, "colspan=\"4\"").open("ul");
    for (std::size_t i = 0; i < lines.size(); ++i)
      html_.open("li").leaf(change.breaks && i == 0 ? "strong" : "span", lines[i]).close();
    html_.close().close().close();
  }

  void share(const std::vector<Placed>& placed, std::size_t i) {
    if (i >= placed.size()) {
      html_.leaf("td", "not read");
      return;
    }
    html_.open("td").bar(placed[i].probability);
    html_.leaf("span", tenths(placed[i].probability), "number").close();
  }

  static std::string ranks(const std::vector<Placed>& was, const std::vector<Placed>& is,
                           std::size_t i) {
    const auto rank = [&](const std::vector<Placed>& all) {
      return i < all.size() && all[i].rank > 0 ? std::to_string(all[i].rank) : std::string();
    };
    std::string before = rank(was);
    const std::string after = rank(is);
    if (before == after) return before;
    return (before.empty() ? "-" : before) + " to " + (after.empty() ? "-" : after);
  }

  void simulated() {
    if (!diff_.drawn_from_before || !diff_.drawn_from_after) return;
    html_.open("section").leaf("h2", "Simulated complaints");
    html_.leaf("p", "Each was taken to the repair twice: by the old rules, and by the new. Seed " +
                        std::to_string(diff_.seed) + ".");
    drawn("If vehicles are as the new rules say", *diff_.drawn_from_after);
    drawn("If vehicles are as the old rules say", *diff_.drawn_from_before);
    html_.leaf("p", kHowToRead).close();
  }

  void drawn(const std::string& title, const PairedReport& report) {
    html_.leaf("h3", title);
    html_.leaf("p", std::to_string(report.complaints) + " complaints, of which " +
                        std::to_string(report.alike) + " go the same way.");
    html_.open("table", "means")
        .head_row({"What", "Old", "New", "Change, and its error"})
        .open("tbody");
    const auto row = [&](const char* name, const PairedMean& mean, double factor) {
      html_.open("tr").leaf("th", name, {}, "scope=\"row\"");
      html_.leaf("td", fixed(factor * mean.before, 1), "number");
      html_.leaf("td", fixed(factor * mean.after, 1), "number").open("td");
      html_.leaf("span", decibans(factor * mean.change()), "number").text(" +/- ");
      html_.leaf("span", fixed(factor * mean.error, 1), "number");
      if (!verdict_of(mean).empty()) html_.text(", " + verdict_of(mean));
      html_.close().close();
    };
    row("True cause first, %", report.first, 100.0);
    row("Minutes to the repair", report.minutes, 1.0);
    row("Repaired, not handed on, %", report.solved, 100.0);
    html_.close().close();
  }

  const RulesDiff& diff_;
  const std::string& version_;
  Html html_;
};

}  // namespace

Report rules_diff_page(const RulesDiff& diff, const std::string& version) {
  return DiffPage(diff, version).all();
}

}  // namespace perrev
