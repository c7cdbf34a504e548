// The tables of the store and how an older file comes to have them.
#pragma once

#include <optional>

#include "src/store/sql.h"

namespace perrev {

// "prrv"; the file's PRAGMA application_id.
inline constexpr std::int64_t kApplicationId = 0x70727276;
// The file's PRAGMA user_version: how many steps it has gone.
std::int64_t newest_schema();

// Takes the steps that are missing, each in a transaction of its own. Refuses a file that is not a
// store or of a newer program. Several processes may do it at once.
std::optional<Refused> migrate(sql::Connection& connection, const std::string& path);

// Whether the file's tables, triggers and indexes are those that the steps make.
bool has_newest_schema(sql::Connection& connection);

}  // namespace perrev
