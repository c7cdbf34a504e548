#include "tests/fuzz/recording_law.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "engine/random.h"
#include "engine/recording/csv_rows.h"
#include "tests/engine/recording/read_back.h"

namespace perrev::fuzz {

namespace {

using recorded::MendedBack;
using recorded::ReadBack;

std::uint64_t digest_of(std::string_view bytes) {  // FNV-1a
  std::uint64_t out = 0xcbf29ce484222325ULL;
  for (const char c : bytes) out = (out ^ static_cast<unsigned char>(c)) * 0x100000001b3ULL;
  return out;
}

std::vector<std::size_t> cuts_of(std::size_t size, Random& random) {
  std::vector<std::size_t> out(1 + random.below(12));
  const std::size_t within = random.below(2) == 0 ? std::min<std::size_t>(size, 64) : size;
  for (std::size_t& each : out) each = random.below(within + 1);
  std::sort(out.begin(), out.end());
  return out;
}

ReadingOptions as_it_is() {
  ReadingOptions out;
  out.full_scale = {20.0};
  return out;
}

ReadingOptions by_hand() {
  ReadingOptions out = as_it_is();
  out.time_unit = "ms";
  out.acceleration_unit = "g";
  out.speed_unit = "mph";
  out.engine_unit = "rpm";
  out.rows_per_second = 200.0;
  out.channels = {1, 2, 0};
  return out;
}

bool alike(const std::vector<double>& a, const std::vector<double>& b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](double x, double y) { return x == y || (std::isnan(x) && std::isnan(y)); });
}

template <class Block>
bool same_columns(const Block& a, const Block& b) {
  for (std::size_t k = 0; k < kAxes; ++k)
    if (!alike(a.acceleration[k], b.acceleration[k])) return false;
  return alike(a.speed, b.speed) && alike(a.engine_hz, b.engine_hz);
}

template <class Block>
bool all_columns(const Block& block) {
  const auto whole = [&](const std::vector<double>& column) {
    return column.empty() || column.size() == block.size();
  };
  return std::all_of(block.acceleration.begin(), block.acceleration.end(), whole) &&
         whole(block.speed) && whole(block.engine_hz);
}

template <class Back>
bool same_words(const Back& a, const Back& b) {
  if (a.refused.has_value() != b.refused.has_value()) return false;
  if (a.refused && a.refused->text() != b.refused->text()) return false;
  return std::equal(a.findings.begin(), a.findings.end(), b.findings.begin(), b.findings.end(),
                    [](const RecordingFinding& x, const RecordingFinding& y) {
                      return x.id == y.id && x.what == y.what && x.line == y.line &&
                             x.times == y.times && x.kind == y.kind;
                    });
}

template <class Back>
std::string broken_words(const Back& back) {
  if (back.refused && back.refused->what.empty()) return "refused without a word";
  for (const RecordingFinding& each : back.findings)
    if (each.what.empty() || each.id.empty() || each.times == 0) return "a finding says nothing";
  return back.findings.size() > 40 ? "more findings than anyone reads" : "";
}

std::string broken_reading(const ReadBack& read) {
  for (const Samples& block : read.blocks) {
    if (block.size() == 0 || block.size() > kBlockRows) return "a block of rows too large or empty";
    if (!all_columns(block)) return "a block of rows lacks part of a column";
  }
  return broken_words(read);
}

bool same_reading(const ReadBack& a, const ReadBack& b) {
  return same_words(a, b) && std::equal(a.blocks.begin(), a.blocks.end(), b.blocks.begin(),
                                        b.blocks.end(), [](const Samples& x, const Samples& y) {
                                          return x.first_line == y.first_line &&
                                                 alike(x.time, y.time) && same_columns(x, y);
                                        });
}

bool finite_within(const std::vector<double>& column, double low, double high) {
  return std::all_of(column.begin(), column.end(),
                     [&](double each) { return each >= low && each <= high; });
}

std::string broken_mending(const MendedBack& back) {
  double end = -INFINITY;
  for (const EvenBlock& block : back.blocks) {
    if (block.size() == 0 || block.size() > kEvenBlock) return "an even block too large or empty";
    if (!all_columns(block)) return "an even block lacks part of a column";
    if (block.rate != back.blocks[0].rate || !(block.rate >= 19.999 && block.rate <= 1.00001e5))
      return "a rate that is none";
    const double fine = 1e-3 / block.rate + 1e-12 * std::fabs(block.begin);
    if (block.goes_on ? std::fabs(block.begin - end) > fine : block.begin < end - fine)
      return "an even block does not follow the one before";
    end = block.begin + static_cast<double>(block.size()) / block.rate;
    for (const std::vector<double>& axis : block.acceleration)
      if (!finite_within(axis, -1e7, 1e7)) return "an acceleration that is none";
    if (!finite_within(block.speed, 0.0, 110.001)) return "a speed that is none";
    if (!finite_within(block.engine_hz, 0.0, 334.0)) return "an engine speed that is none";
    if (block.speed.empty() != back.blocks[0].speed.empty()) return "a speed that comes and goes";
  }
  if (!back.refused && back.blocks.empty()) return "neither blocks nor a refusal";
  return broken_words(back);
}

bool same_mending(const MendedBack& a, const MendedBack& b) {
  return same_words(a, b) && std::equal(a.blocks.begin(), a.blocks.end(), b.blocks.begin(),
                                        b.blocks.end(), [](const EvenBlock& x, const EvenBlock& y) {
                                          return x.begin == y.begin && x.goes_on == y.goes_on &&
                                                 same_columns(x, y);
                                        });
}

std::string broken_with(const std::string& bytes, const ReadingOptions& options, Random& random) {
  const ReadBack read = recorded::read_back(bytes, options);
  if (const std::string wrong = broken_reading(read); !wrong.empty()) return wrong;
  if (!same_reading(read, recorded::read_back(bytes, options, cuts_of(bytes.size(), random))))
    return "where the bytes are cut makes a difference";
  const Samples rows = read.whole();
  const MendedBack mended = recorded::mended_back(rows);
  if (const std::string wrong = broken_mending(mended); !wrong.empty()) return wrong;
  if (!same_mending(mended, recorded::mended_back(rows, {}, 1 + random.below(rows.size() + 1))))
    return "where the rows are cut makes a difference";
  return "";
}

}  // namespace

std::string broken_recording_law(std::string_view bytes) {
  Random random(digest_of(bytes));
  const std::string text(bytes);
  const std::string wrong = broken_with(text, as_it_is(), random);
  return wrong.empty() ? broken_with(text, by_hand(), random) : wrong;
}

bool recording_comes_through(std::string_view bytes) {
  const ReadBack read = recorded::read_back(std::string(bytes), as_it_is());
  return !read.refused && !recorded::mended_back(read.whole()).refused;
}

}  // namespace perrev::fuzz
