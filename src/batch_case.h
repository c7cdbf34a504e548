// A case on one line, read quickly: for files of very many cases.
//
// It keeps what ranking needs, the label and the entries, and no document to write back. It reads
// what is plainly right; whatever it hesitates at, wrong or only unusual (a number where text is
// usual, \u escapes, an object of many keys), is left to CaseFile::parse, which tells all problems.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "engine/casefile/casefile.h"

namespace perrev {

struct BatchCase {
  std::string label;
  std::vector<Entry> entries;  // in the order of the file
};

// Keeps its buffers between lines; one thread at a time.
class BatchCaseReader {
 public:
  BatchCaseReader();
  ~BatchCaseReader();
  BatchCaseReader(BatchCaseReader&&) noexcept;

  // What CaseFile::parse finds in the text, until the next reading; null where only that can tell.
  const BatchCase* read(std::string_view text);

 private:
  struct Buffers;
  std::unique_ptr<Buffers> buffers_;
};

}  // namespace perrev
