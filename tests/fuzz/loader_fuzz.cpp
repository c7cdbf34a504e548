// The fuzz target of the loader, for clang's libFuzzer (tests/fuzz.sh). loader_law.h says what an
// input is and what must hold of it.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <iostream>

#include "tests/fuzz/loader_law.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view input(reinterpret_cast<const char*>(data), size);
  const std::string broken = perrev::fuzz::broken_law(perrev::fuzz::files_in(input));
  if (broken.empty()) return 0;
  std::cerr << "the law is broken: " << broken << "\n";
  std::abort();
}
