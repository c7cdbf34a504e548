// Additions inside an open transaction. Internal to this folder.
#pragma once

#include <memory>

#include "src/store/sql.h"
#include "src/store/store.h"

namespace perrev {

// Refusals leave nothing behind, but for failures of the file: those the connection remembers, and
// whoever began the transaction must undo it.
std::unique_ptr<Changes> changes_on(sql::Connection& connection);

// The case's newest head as stored; empty: no such case.
std::string newest_head(sql::Connection& connection, const std::string& case_id);

Refused no_such_case(const std::string& case_id);

}  // namespace perrev
