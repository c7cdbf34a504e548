#include "src/lines_in_order.h"

#include <algorithm>
#include <condition_variable>
#include <istream>
#include <map>
#include <mutex>
#include <ostream>
#include <thread>
#include <utility>
#include <vector>

#include "src/side_by_side.h"

namespace perrev {

namespace {

constexpr std::size_t kLines = 128, kBytes = 1u << 20;  // of one piece of work, whichever is first
constexpr std::size_t kAhead = 4;  // pieces a core that may be done before their turn

struct Piece {
  std::size_t turn = 0;
  std::vector<NumberedLine> lines;
};

class Stream {
 public:
  Stream(std::istream& in, std::ostream& out, std::size_t most, std::size_t cores)
      : in_(in), out_(out), most_(most), ahead_(kAhead * cores), part_(1u << 16) {}

  // False at the end.
  bool take(Piece& piece) {
    const std::lock_guard<std::mutex> hold(reading_);
    piece.lines.clear();
    piece.turn = taken_;
    for (std::size_t bytes = 0; piece.lines.size() < kLines && bytes < kBytes;) {
      NumberedLine line;
      if (!read(line)) break;
      if (line.text.find_first_not_of(" \t\r") == std::string::npos) continue;
      bytes += line.text.size();
      piece.lines.push_back(std::move(line));
    }
    if (piece.lines.empty()) return false;
    ++taken_;
    return true;
  }

  // Written now if it is its turn, else by who is before it.
  void give(std::size_t turn, std::string text) {
    std::unique_lock<std::mutex> hold(writing_);
    written_.wait(hold, [&] { return turn < given_ + ahead_ || broken_; });
    if (broken_) return;
    done_.emplace(turn, std::move(text));
    for (; !done_.empty() && done_.begin()->first == given_; ++given_) {
      out_ << done_.begin()->second;
      done_.erase(done_.begin());
    }
    written_.notify_all();
  }

  // Nobody waits any more: a thread that should have written has failed.
  void give_up() {
    const std::lock_guard<std::mutex> hold(writing_);
    broken_ = true;
    written_.notify_all();
  }

  std::size_t bytes_read() {
    const std::lock_guard<std::mutex> hold(reading_);
    return bytes_;
  }

 private:
  bool read(NumberedLine& line) {
    bool any = false;
    while (in_.good()) {
      in_.getline(part_.data(), static_cast<std::streamsize>(part_.size()));
      std::size_t got = static_cast<std::size_t>(in_.gcount());
      any = any || got > 0;
      bytes_ += got;
      const bool whole = !in_.fail(), ended = in_.eof();
      if (whole && !ended && got > 0) --got;  // the end of the line, counted and not kept
      const std::size_t room = most_ - std::min(most_, line.text.size());
      line.too_long = line.too_long || got > room;
      line.text.append(part_.data(), std::min(got, room));
      if (whole || ended || got == 0) break;
      in_.clear();
    }
    if (any) line.number = ++lines_;
    return any;
  }

  std::istream& in_;
  std::ostream& out_;
  const std::size_t most_, ahead_;
  std::vector<char> part_;
  std::mutex reading_, writing_;
  std::condition_variable written_;
  std::map<std::size_t, std::string> done_;  // by turn
  std::size_t lines_ = 0, bytes_ = 0, taken_ = 0, given_ = 0;
  bool broken_ = false;
};

}  // namespace

void lines_in_order(std::istream& in, std::ostream& out, std::size_t most,
                    const std::function<std::string(const NumberedLine&)>& work,
                    const std::function<void(std::size_t)>& read_mib) {
  const std::size_t cores = std::max(1u, std::thread::hardware_concurrency());
  Stream stream(in, out, most, cores);
  const std::thread::id caller = std::this_thread::get_id();
  side_by_side(cores, [&](std::size_t) {
    try {
      Piece piece;
      while (stream.take(piece)) {
        std::string text;
        for (const NumberedLine& line : piece.lines) text += work(line);
        stream.give(piece.turn, std::move(text));
        if (std::this_thread::get_id() == caller) read_mib(stream.bytes_read() >> 20);
      }
    } catch (...) {
      stream.give_up();
      throw;
    }
  });
}

}  // namespace perrev
