// The fuzz target of recordings, for clang's libFuzzer (tests/fuzz.sh). recording_law.h says what
// must hold of an input.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <iostream>

#include "tests/fuzz/recording_law.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string broken =
      perrev::fuzz::broken_recording_law({reinterpret_cast<const char*>(data), size});
  if (broken.empty()) return 0;
  std::cerr << "the law is broken: " << broken << "\n";
  std::abort();
}
