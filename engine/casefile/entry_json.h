// One entry of a case, from JSON and back. Internal to this folder.
#pragma once

#include <cstddef>
#include <nlohmann/json_fwd.hpp>
#include <string>

#include "engine/casefile/casefile.h"

namespace perrev {

// Everything wrong with entry `index` is added to `problems`, each with its JSON pointer.
Entry read_entry(const std::string& shown, std::size_t index, const nlohmann::ordered_json& json,
                 Problems& problems);

nlohmann::ordered_json json_of(const Entry& entry);

}  // namespace perrev
