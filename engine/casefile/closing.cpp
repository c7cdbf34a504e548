#include "engine/casefile/closing.h"

namespace perrev {

const Entry* closing_in_force(const CaseFile& file, const CaseFacts& facts) {
  const Entry* last = nullptr;
  for (std::size_t i = 0; i < file.entries().size(); ++i) {
    const Entry& entry = file.entries()[i];
    if (facts.round_of[i] >= 0 && entry.kind == Entry::Kind::closing &&
        (!last || last->key() < entry.key()))
      last = &entry;
  }
  return last;
}

}  // namespace perrev
