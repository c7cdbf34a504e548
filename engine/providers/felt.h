// What physics makes of where, at which speeds and how strongly a shake is felt.
//
// Owns `felt_at`, `worst_speed`, `begins_speed`, `ends_speed` and `how_strong` for the causes that
// stand under `faults` in rules/physics.yaml. Each fault is put at either axle and on each order
// line of its cause (physics/felt_curve.h); what people say of it (physics/saying.h) is summed over
// those ways and over one number for size and person, so that facts which share them are weighed
// together. Where the vehicle is not known, a typical one of its kind stands in, with more doubt.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <mutex>

#include "engine/providers/felt_tables.h"
#include "engine/providers/made_once.h"
#include "engine/reasoning/provider.h"

namespace perrev {

// A line of a fault, and how likely it is the one, given what is felt.
struct FeltLineShare {
  std::string source;  // as a cause shakes by
  double order = 1.0;
  Estimate turns_per_metre;
  double share = 0.0;
};

class FeltProvider : public Provider {
 public:
  // Tables of so many parts of vehicles are kept, those used last: half a MB each in the mean.
  explicit FeltProvider(std::size_t most_kept = kFeltParts * 8) : most_kept_(most_kept) {}

  std::string name() const override { return "physics"; }
  std::vector<int> facts(const RuleBase& base) const override;
  ProviderWeights weigh(const RuleBase& base, const CaseFacts& facts,
                        std::size_t round) const override;
  std::string because(const RuleBase& base, const CaseFacts& facts, std::size_t round,
                      int cause) const override;
  ProviderTable expect(const RuleBase& base, const CaseFacts& facts, int variable) const override;
  // By cause, in the latest round; no lines where it models none. The shares of a cause sum to one.
  std::vector<std::vector<FeltLineShare>> lines(const RuleBase& base, const CaseFacts& facts) const;

 private:
  // Those of the vehicle, on_grid(). Safe to share between threads.
  FeltTables tables_for(const RuleBase& base, const CaseFacts& facts, std::size_t round) const;

  // What tables hang on beside the rule base.
  struct Key {
    int body = 0;
    FeltPart part = FeltPart::front_wheels;
    Estimate turns;

    bool operator<(const Key& o) const;
  };
  struct Kept {
    std::shared_ptr<const FeltPartTables> tables;
    std::uint64_t used = 0;  // the latest has the largest
  };
  void keep(const Key& key, std::shared_ptr<const FeltPartTables> tables) const;

  MadeOnce<FeltBook> book_;
  const std::size_t most_kept_;
  mutable std::mutex guard_;
  mutable std::string digest_;  // of the rule base whose tables are kept
  mutable std::map<Key, Kept> kept_;
  mutable std::uint64_t uses_ = 0;
};

}  // namespace perrev
