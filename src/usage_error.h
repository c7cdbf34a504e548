// What is wrong with a command line, for people: what was typed, what was perhaps meant, and whose
// help says more.
#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace perrev {

// One line without its end.
std::string usage_words(const CLI::App& app, const CLI::ParseError& error);

}  // namespace perrev
