// What physics makes of where, at which speeds and how strongly a shake is felt.
//
// Owns `felt_at`, `worst_speed`, `begins_speed`, `ends_speed` and `how_strong` for the causes that
// stand under `faults` in rules/physics.yaml. Each fault is put at either axle and on each order
// line of its cause (physics/felt_curve.h); what people say of it (physics/saying.h) is summed over
// those ways and over one number for size and person, so that facts which share them are weighed
// together. Where the vehicle is not known, a typical one of its kind stands in, with more doubt.
#pragma once

#include <memory>
#include <mutex>

#include "engine/providers/felt_tables.h"
#include "engine/reasoning/provider.h"

namespace perrev {

// A line of a fault, and how likely it is the one given what is felt.
struct FeltLineShare {
  FeltLine line;
  double share = 0.0;
};

class FeltProvider : public Provider {
 public:
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
  // Tables hang on the rule base and the vehicle alone; the last few are kept. Safe to share
  // between threads.
  std::shared_ptr<const FeltTables> tables_for(const RuleBase& base, const CaseFacts& facts,
                                               std::size_t round) const;

  struct Kept {
    std::string digest;
    FeltVehicle vehicle;
    std::shared_ptr<const FeltTables> tables;
  };
  mutable std::mutex guard_;
  mutable std::vector<Kept> kept_;  // the latest first
};

}  // namespace perrev
