// What libFuzzer calls, of every target (tests/fuzz.sh). NAME_law.h says what an input of a target
// is and what must hold of it; PERREV_LAW is the function of it.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <iostream>
#include <string>
#include <string_view>

namespace perrev::fuzz {
std::string PERREV_LAW(std::string_view input);
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string broken = perrev::fuzz::PERREV_LAW({reinterpret_cast<const char*>(data), size});
  if (broken.empty()) return 0;
  std::cerr << "the law is broken: " << broken << "\n";
  std::abort();
}
