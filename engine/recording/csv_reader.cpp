#include "engine/recording/csv_reader.h"

#include <cstring>
#include <utility>

namespace perrev {

namespace {

constexpr std::size_t kLongestLine = 1 << 16;
constexpr std::string_view kMark = "\xEF\xBB\xBF";  // byte order mark of UTF-8

void scale(std::vector<double>& values, double size) {
  if (size == 1.0) return;
  for (double& each : values) each *= size;
}

void into_si(Samples& block, const std::vector<RecordedColumn>& columns) {
  for (const RecordedColumn& column : columns) switch (column.role) {
      case Role::time:
        scale(block.time, column.size);
        break;
      case Role::speed:
        scale(block.speed, column.size);
        break;
      case Role::engine:
        scale(block.engine_hz, column.size);
        break;
      default:
        scale(block.acceleration[static_cast<std::size_t>(column.role) -
                                 static_cast<std::size_t>(Role::x)],
              column.size);
    }
}

Problem too_long(std::size_t line) {
  Problem out = problem("a line of more than " + std::to_string(kLongestLine) + " bytes",
                        "comma separated text or a WAV file");
  out.place.line = static_cast<int>(line);
  return out;
}

}  // namespace

std::optional<Problem> CsvReader::take(std::string_view bytes) {
  while (!bytes.empty()) {
    const std::size_t end = bytes.find('\n');
    const bool whole = end != std::string_view::npos;
    const std::string_view piece = bytes.substr(0, whole ? end : bytes.size());
    if (begun_.size() + piece.size() > kLongestLine) return too_long(lines_ + 1);
    std::optional<Problem> wrong;
    if (!whole || !begun_.empty()) begun_ += piece;
    if (!whole) return std::nullopt;
    if (begun_.empty()) {
      wrong = line(piece.data(), piece.data() + piece.size());
    } else {
      begun_ += '\n';
      wrong = line(begun_.data(), begun_.data() + begun_.size() - 1);
      begun_.clear();
    }
    if (wrong) return wrong;
    bytes.remove_prefix(end + 1);
  }
  return std::nullopt;
}

std::optional<Problem> CsvReader::line(const char* at, const char* end) {
  ++lines_;
  if (lines_ == 1 && std::string_view(at, static_cast<std::size_t>(end - at)).substr(0, 3) == kMark)
    at += kMark.size();
  if (!rows_) {
    const std::size_t size = static_cast<std::size_t>(end - at);
    const bool returns = size > 0 && end[-1] == '\r';
    auto found = search_.take(std::string_view(at, size - (returns ? 1 : 0)));
    if (!found) return std::nullopt;
    if (!found->ok()) return found->error();
    layout_ = std::move(found->value());
    for (RecordingFinding& each : layout_.told) log_.add(std::move(each));
    rows_.emplace(layout_, options_.rows_per_second, log_);
    rows_->start(lines_);
  }
  rows_->add(at, end);
  return rows_->full() ? hand_on() : std::nullopt;
}

std::optional<Problem> CsvReader::settle(const Samples& first_rows) {
  if (auto wrong = settle_accelerations(layout_.columns, first_rows, log_)) return wrong;
  std::string unit;
  double size = 1.0;
  for (const RecordedColumn& column : layout_.columns)
    if (is_axis(column.role)) {
      unit = column.unit;
      size = column.size;
    }
  watch_.emplace(std::move(unit), size);
  return std::nullopt;
}

std::optional<Problem> CsvReader::hand_on() {
  Samples& block = rows_->block();
  if (!watch_)
    if (auto wrong = settle(block)) return wrong;
  into_si(block, layout_.columns);
  watch_->take(block);
  sink_(block);
  rows_->start(lines_ + 1);
  return std::nullopt;
}

std::optional<Problem> CsvReader::finish() {
  if (!begun_.empty()) {
    begun_ += '\n';
    if (auto wrong = line(begun_.data(), begun_.data() + begun_.size() - 1)) return wrong;
    begun_.clear();
  }
  if (!rows_) return search_.none();
  if (rows_->size() > 0)
    if (auto wrong = hand_on()) return wrong;
  if (auto wrong = rows_->finish()) return wrong;
  return watch_->finish();
}

}  // namespace perrev
