#include "engine/bench/findings.h"

#include <algorithm>
#include <tuple>

#include "engine/bench/findings_passes.h"

namespace perrev {

std::string named(const std::vector<std::string>& ids) {
  constexpr std::size_t kMostNamed = 3;
  const std::size_t shown = ids.size() <= kMostNamed + 1 ? ids.size() : kMostNamed;
  std::string out;
  for (std::size_t i = 0; i < shown; ++i) {
    const bool last = i + 1 == ids.size();
    out += (i == 0 ? "'" : last ? " and '" : ", '") + ids[i] + "'";
  }
  return shown == ids.size() ? out : out + " and " + std::to_string(ids.size() - shown) + " more";
}

std::vector<Finding> findings(const RuleBase& base, const std::vector<ParsedFile>& files) {
  const Written written(base, files);
  Findings out;
  for (const auto pass : {find_unused, find_bare_causes, find_idle_conditions, find_hidden_entries,
                          find_counted_twice, find_loose_ranges, find_not_told_apart})
    pass(written, out);
  std::sort(out.begin(), out.end(), [](const Finding& a, const Finding& b) {
    return std::tie(a.place.file, a.place.line, a.place.column, a.id, a.what) <
           std::tie(b.place.file, b.place.line, b.place.column, b.id, b.what);
  });
  return out;
}

}  // namespace perrev
