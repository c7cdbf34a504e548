// What holds of a recording whatever its bytes are: the law that the fuzz target and the replay of
// its inputs hold the readers and the line of time to.
//
// An input is a recording as it stands, text or WAV. It is read as it is, and once more with units,
// a rate and channels given by hand, so that inputs which do not name them reach further.
#pragma once

#include <string>
#include <string_view>

namespace perrev::fuzz {

// What breaks the law; empty where nothing does. The same comes of bytes and of rows wherever they
// are cut; blocks are full, bounded, and have all their columns; even ones follow each other at one
// rate, are finite and at plausible speeds; whatever is refused or told is told in words.
std::string broken_recording_law(std::string_view bytes);

// Whether even blocks come of it, read as it is.
bool recording_comes_through(std::string_view bytes);

}  // namespace perrev::fuzz
