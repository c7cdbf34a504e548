#include "tests/engine/recording/read_back.h"

#include <algorithm>

namespace perrev::recorded {

namespace {

const RecordingFinding* find_in(const std::vector<RecordingFinding>& all, const std::string& id) {
  for (const RecordingFinding& each : all)
    if (each.id == id) return &each;
  return nullptr;
}

void append(std::vector<double>& to, const std::vector<double>& more) {
  to.insert(to.end(), more.begin(), more.end());
}

std::vector<double> cut(const std::vector<double>& all, std::size_t from, std::size_t to) {
  if (all.empty()) return {};
  return {all.begin() + static_cast<std::ptrdiff_t>(from),
          all.begin() + static_cast<std::ptrdiff_t>(to)};
}

}  // namespace

Samples ReadBack::whole() const {
  Samples out;
  for (const Samples& block : blocks) {
    if (out.size() == 0) out.first_line = block.first_line;
    append(out.time, block.time);
    for (std::size_t a = 0; a < kAxes; ++a) append(out.acceleration[a], block.acceleration[a]);
    append(out.speed, block.speed);
    append(out.engine_hz, block.engine_hz);
  }
  return out;
}

const RecordingFinding* ReadBack::finding(const std::string& id) const {
  return find_in(findings, id);
}
const RecordingFinding* MendedBack::finding(const std::string& id) const {
  return find_in(findings, id);
}

std::size_t MendedBack::samples() const {
  std::size_t out = 0;
  for (const EvenBlock& block : blocks) out += block.size();
  return out;
}

std::vector<MendedBack::Piece> MendedBack::pieces() const {
  std::vector<Piece> out;
  for (const EvenBlock& block : blocks) {
    if (!block.goes_on) out.push_back({block.begin, 0});
    out.back().size += block.size();
  }
  return out;
}

ReadBack read_back(const std::string& bytes, const ReadingOptions& options,
                   const std::vector<std::size_t>& cuts) {
  ReadBack out;
  RecordingReader reader(options, [&](const Samples& block) { out.blocks.push_back(block); });
  std::size_t from = 0;
  for (const std::size_t at : cuts) {
    const std::size_t to = std::clamp(at, from, bytes.size());
    if (!out.refused) out.refused = reader.take(std::string_view(bytes).substr(from, to - from));
    from = to;
  }
  if (!out.refused) out.refused = reader.take(std::string_view(bytes).substr(from));
  if (!out.refused) out.refused = reader.finish();
  out.columns = reader.columns();
  out.findings = reader.findings();
  return out;
}

Samples part_of(const Samples& samples, std::size_t from, std::size_t to) {
  Samples out;
  out.first_line = samples.first_line == 0 ? 0 : samples.first_line + from;
  out.time = cut(samples.time, from, to);
  for (std::size_t a = 0; a < kAxes; ++a)
    out.acceleration[a] = cut(samples.acceleration[a], from, to);
  out.speed = cut(samples.speed, from, to);
  out.engine_hz = cut(samples.engine_hz, from, to);
  return out;
}

MendedBack mended_back(const Samples& samples, const TimelineOptions& options, std::size_t rows) {
  MendedBack out;
  Timeline line(options, [&](const EvenBlock& block) { out.blocks.push_back(block); });
  for (std::size_t i = 0; i < samples.size() && !out.refused; i += rows)
    out.refused = line.take(part_of(samples, i, std::min(i + rows, samples.size())));
  if (!out.refused) out.refused = line.finish();
  out.findings = line.findings();
  out.rate = line.rate();
  return out;
}

}  // namespace perrev::recorded
