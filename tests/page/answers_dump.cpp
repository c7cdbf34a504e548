// Answers from the program's own build, for comparing with those in a page:
//   perrev_answers_dump RULES BYTES
// writes the bytes of the rule base in the folder RULES to the file BYTES; then reads lines
// "name<tab>request" and writes one answer a line, and what each took on the error stream, in ms of
// processor time.
#include <ctime>
#include <iostream>
#include <string>

#include "engine/knowledge/rule_bytes.h"
#include "src/answers/answers.h"
#include "src/files.h"
#include "src/rules.h"

int main(int argc, char** argv) {
  if (argc != 3) return 2;
  const auto files = perrev::parsed_rules(argv[1]);
  if (!files) return 1;
  const auto base = perrev::build_rule_base(*files);
  if (!base || !perrev::write_file(argv[2], perrev::rule_bytes(*files, *base)).empty()) return 1;
  const perrev::Answerer answerer(*base);
  std::string line;
  while (std::getline(std::cin, line)) {
    const std::size_t tab = line.find('\t');
    if (tab == std::string::npos) return 2;
    const std::clock_t begin = std::clock();
    const std::string answer = answerer.answer(line.substr(0, tab), line.substr(tab + 1));
    const double took = 1000.0 * static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC;
    std::cout << answer << "\n";
    std::cerr << took << "\n";
  }
}
