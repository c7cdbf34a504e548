// Which frequencies the turning parts can excite.
//
// Orders per part: trade practice. Firing order of a four-stroke engine: cylinders/2, exact.
#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <string>
#include <tuple>
#include <utility>
#include <vector>

#include "engine/quantity/quantity.h"
#include "engine/quantity/text.h"
#include "engine/vehicle/rotation.h"

namespace perrev {

namespace {

// Axles nearer than this turn as one: nobody tells their lines apart.
constexpr double kSameSpeed = 0.001;
constexpr int kTireOrders = 4;
constexpr int kShaftOrders = 2;
constexpr int kMostCylinders = 16;

std::string counted(int cylinders) {
  constexpr std::array kWords = {"two",   "three", "four", "five",   "six",   "seven",
                                 "eight", "nine",  "ten",  "eleven", "twelve"};
  const auto at = static_cast<std::size_t>(cylinders - 2);
  return at < kWords.size() ? kWords[at] : std::to_string(cylinders);
}

Estimate times(double order, const Estimate& hz) { return {order * hz.mean, order * hz.sd}; }

class Lines {
 public:
  Lines(const VehicleFacts& vehicle, const Rotations& rotations)
      : vehicle_(vehicle), rotations_(rotations) {}

  std::vector<OrderLine> all() {
    add_tires();
    add_orders("driveshaft", rotations_.find("driveshaft"), kShaftOrders);
    add_orders("front_driveshaft", rotations_.find("front_driveshaft"), kShaftOrders);
    add_engine();
    add_motors();
    add_orders("accessory", rotations_.find("accessory"), 1);
    std::sort(out_.begin(), out_.end(), [](const OrderLine& a, const OrderLine& b) {
      return std::tie(a.hz.mean, a.source, a.order, a.part) <
             std::tie(b.hz.mean, b.source, b.order, b.part);
    });
    return std::move(out_);
  }

 private:
  void add(const std::string& source, const std::string& part, double order, const Estimate& hz,
           const std::string& remark) {
    const std::string about =
        spaced(source) + " order " + show_number(order) + (remark.empty() ? "" : ", " + remark);
    out_.push_back({source, part, order, times(order, hz), about});
  }

  void add_orders(const std::string& source, const PartSpeed* part, int highest,
                  const std::string& remark = {}) {
    if (part == nullptr) return;
    for (int order = 1; order <= highest; ++order) {
      add(source, part->part, order, part->hz, remark);
    }
  }

  static bool turn_as_one(const PartSpeed& a, const PartSpeed& b) {
    return std::fabs(a.hz.mean - b.hz.mean) <= kSameSpeed * std::max(a.hz.mean, b.hz.mean);
  }

  void add_tires() {
    const PartSpeed* front = rotations_.find("front_wheels");
    const PartSpeed* rear = rotations_.find("rear_wheels");
    if (front != nullptr && rear != nullptr && turn_as_one(*front, *rear)) {
      PartSpeed both = front->hz.sd > rear->hz.sd ? *front : *rear;
      both.part = "wheels";
      const bool spare = is_spare(vehicle_.front_tire) || is_spare(vehicle_.rear_tire);
      return add_orders("tire", &both, kTireOrders, spare ? kSpareRemark : "");
    }
    add_orders("tire", front, kTireOrders, axle_remark("front", vehicle_.front_tire));
    add_orders("tire", rear, kTireOrders, axle_remark("rear", vehicle_.rear_tire));
  }

  static constexpr const char* kSpareRemark = "a temporary spare is fitted";

  static bool is_spare(const std::optional<Tire>& tire) { return tire && tire->temporary_spare(); }

  static std::string axle_remark(const std::string& axle, const std::optional<Tire>& tire) {
    return is_spare(tire) ? axle + ", " + kSpareRemark : axle;
  }

  // Several reasons may give one order (the firing order of four cylinders is 2): one line, all of
  // the reasons.
  void add_engine() {
    const PartSpeed* engine = rotations_.find("engine");
    if (engine == nullptr) return;
    std::map<double, std::string> reasons = {
        {0.5, "one cylinder unlike the others"}, {1, ""}, {2, ""}};
    const int cylinders = vehicle_.cylinders.value_or(0);
    if (cylinders >= 2 && cylinders <= kMostCylinders) {
      const std::string of = " order of " + counted(cylinders) + " cylinders";
      join(reasons[cylinders / 2.0], "firing" + of);
      join(reasons[cylinders], "twice the firing" + of);
      if (cylinders % 2 == 0 && cylinders >= 4) {
        join(reasons[cylinders / 4.0], "half the firing" + of + " (half of them switched off)");
      }
    }
    for (const auto& [order, reason] : reasons) {
      add("engine", engine->part, order, engine->hz, reason);
    }
  }

  static void join(std::string& reasons, const std::string& reason) {
    reasons += (reasons.empty() ? "" : ", ") + reason;
  }

  void add_motors() {
    const PartSpeed* motor = rotations_.find("motor_rotor");
    const PartSpeed* front = rotations_.find("front_motor_rotor");
    const PartSpeed* second = front != nullptr ? front : rotations_.find("rear_motor_rotor");
    const bool two = second != nullptr && motor != nullptr && !turn_as_one(*motor, *second);
    if (!two) return add_orders("motor_rotor", motor != nullptr ? motor : second, 1);
    add_orders("motor_rotor", motor, 1, front != nullptr ? "rear" : "front");
    add_orders("motor_rotor", second, 1, front != nullptr ? "front" : "rear");
  }

  const VehicleFacts& vehicle_;
  const Rotations& rotations_;
  std::vector<OrderLine> out_;
};

}  // namespace

std::vector<OrderLine> order_lines(const VehicleFacts& vehicle, const Rotations& rotations) {
  return Lines(vehicle, rotations).all();
}

}  // namespace perrev
