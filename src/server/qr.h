// A QR code (ISO/IEC 18004) in a terminal.
#pragma once

#include <string>

namespace perrev {

// Two rows of modules a line, by half blocks, dark on light whatever the terminal's colours.
// Empty when the text is too long.
std::string qr_code(const std::string& text);

}  // namespace perrev
