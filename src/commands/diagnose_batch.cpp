#include "src/commands/diagnose_batch.h"

#include <sys/stat.h>
#include <unistd.h>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <utility>
#include <vector>

#include "engine/quantity/text.h"
#include "src/answers/reasoning.h"
#include "src/lines_in_order.h"
#include "src/progress_bar.h"
#include "src/rules.h"

namespace perrev {

namespace {

constexpr std::size_t kLongest = 16u << 20;  // as of a case
constexpr std::size_t kVehicles = 100;       // remembered: a shop has many
constexpr std::size_t kPart = 1u << 18;      // of the file, read at once

// Answers at the end of the cases would be read as cases, without end.
bool answers_go_into(const std::string& path) {
  struct stat in, out;
  const int looked = path == "-" ? ::fstat(STDIN_FILENO, &in) : ::stat(path.c_str(), &in);
  return looked == 0 && ::fstat(STDOUT_FILENO, &out) == 0 && S_ISREG(in.st_mode) &&
         in.st_dev == out.st_dev && in.st_ino == out.st_ino;
}

std::size_t mib_of(const std::string& path) {
  std::error_code failed;
  const std::uintmax_t size = std::filesystem::file_size(path, failed);
  return failed ? 1 : static_cast<std::size_t>(size >> 20) + 1;
}

}  // namespace

Exit diagnose_batch(const std::string& path, const BatchTerms& terms, const Common& common) {
  const auto base = load_rules(rules_folder(common.rules));
  if (!base) return tell(base.error());
  std::vector<char> part(kPart);
  std::ifstream file;
  file.rdbuf()->pubsetbuf(part.data(), static_cast<std::streamsize>(part.size()));
  if (path != "-") {
    std::error_code failed;
    if (std::filesystem::is_directory(path, failed))
      return tell_option("--batch", problem("it is a folder", "a file of cases, one a line"));
    file.open(path, std::ios::binary);
    if (!file)
      return tell_option("--batch", problem("cannot read " + perrev::quoted(path), "a file"));
  }
  if (answers_go_into(path))
    return tell_option("--batch", problem("the answers would go into the file of the cases",
                                          "another file for the answers"));
  std::istream& in = path == "-" ? std::cin : file;
  std::ios::sync_with_stdio(false);
  const Reasoning reasoning(*base, kVehicles);
  std::atomic<std::size_t> cases{0}, bad{0};
  {
    ProgressBar bar("MB read", path == "-" ? 1 : mib_of(path));
    lines_in_order(
        in, std::cout, kLongest,
        [&](const NumberedLine& line) {
          thread_local BatchCaseReader reader;
          BatchAnswer answer =
              line.too_long
                  ? refused_line(line.number,
                                 {problem("the case is larger than 16 MiB", "a smaller one")})
                  : answer_line(reasoning.reasoner, line.number, line.text, terms, reader);
          ++cases;
          if (!answer.good) ++bad;
          answer.text += '\n';
          return std::move(answer.text);
        },
        [&](std::size_t mib) { bar.reach(mib); });
  }
  std::cout.flush();
  if (in.bad()) return tell_option("--batch", problem("cannot be read to its end"));
  if (!std::cout) return tell_option("--batch", problem("the answers cannot be written"));
  std::cerr << cases << (cases == 1 ? " case" : " cases") << ", " << bad << " not understood\n";
  return bad == 0 ? Exit::done : Exit::bad_input;
}

}  // namespace perrev
