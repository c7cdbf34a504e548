#include "src/server/qr.h"

#include <exception>
#include <qrcodegen/qrcodegen.hpp>

namespace perrev {

std::string qr_code(const std::string& text) {
  constexpr int kQuiet = 4;  // modules of light around it, as the standard wants
  try {
    const auto code = qrcodegen::QrCode::encodeText(text.c_str(), qrcodegen::QrCode::Ecc::MEDIUM);
    std::string out;
    for (int y = -kQuiet; y < code.getSize() + kQuiet; y += 2) {
      out += "\x1b[30;107m";  // black on bright white
      for (int x = -kQuiet; x < code.getSize() + kQuiet; ++x) {
        const bool upper = code.getModule(x, y), lower = code.getModule(x, y + 1);
        out += upper ? (lower ? "\u2588" : "\u2580") : (lower ? "\u2584" : " ");
      }
      out += "\x1b[0m\n";
    }
    return out;
  } catch (const std::exception&) {  // of the library: too long
    return {};
  }
}

}  // namespace perrev
