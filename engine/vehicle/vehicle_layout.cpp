#include "engine/vehicle/vehicle_layout.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "engine/quantity/quantity.h"

namespace perrev {

namespace {

constexpr const char* kGearboxOutput = "gearbox_output";
constexpr const char* kDriveshaft = "driveshaft";

// A speedometer reads 2.5 % high, plus or minus 1.5 %: common practice within UN R39.
constexpr double kReadsHigh = 0.025;
constexpr double kReadsHighSd = 0.015;
// Where nobody said which speed it was, it may also have been a satellite's: say one time in four.
// On tires of another size than the speedometer is set for that spreads over both sizes.
constexpr double kUntoldSd = 0.025;
constexpr double kUntoldSizeShare = 0.43;  // sqrt(3/4 * 1/4)

// From memory: the makers' circumferences of one size, and how much less the tires of one vehicle
// differ than any two.
constexpr double kSetSizeSd = 0.007;
constexpr double kBetweenAxlesShare = 0.5;

// A temporary spare turns up to a tenth faster than its mate on the axle.
constexpr double kSpareSd = 0.05;

// Converter slip where it is not locked, 0 to 5 %: from memory.
constexpr double kSlip = 0.015;
constexpr double kSlipSd = 0.015;

constexpr double kSecondsPerMinute = 60.0;

struct Axle {
  std::string wheels;
  std::string side;  // "front", "rear"
  const Tire* tire = nullptr;
  double circumference = 0.0;     // m, of the two wheels together
  double circumference_sd = 0.0;  // relative
  double fitted_sd = 0.0;         // the same without the doubt of a temporary spare

  bool known() const { return tire != nullptr; }
  bool spare() const { return known() && tire->temporary_spare(); }
};

// `mate` is the tire of the other axle: the size that the wheel beside a temporary spare has. The
// differential turns at the mean of the two wheels.
Axle axle_of(const char* side, const std::optional<Tire>& tire, const TireState& state,
             const std::optional<Tire>& mate) {
  Axle axle{std::string(side) + "_wheels", side};
  if (!tire) return axle;
  const Estimate rolled = rolling_circumference(*tire, state);
  axle.tire = &*tire;
  axle.circumference = rolled.mean;
  axle.fitted_sd = axle.circumference_sd = rolled.sd / rolled.mean;
  if (!axle.spare()) return axle;
  axle.circumference_sd = root_of_squares(axle.circumference_sd, kSpareSd);
  if (mate && !mate->temporary_spare()) {
    axle.circumference = 2.0 / (1.0 / rolled.mean + 1.0 / mate->rolling_circumference);
  }
  return axle;
}

std::string tenths(double value) { return show_number(std::round(value * 10.0) / 10.0); }

std::string mm_text(double metres) { return tenths(metres * 1000.0) + " mm"; }

// The links and readings of one vehicle at one moment.
class Layout {
 public:
  Layout(const VehicleFacts& vehicle, const Motion& motion)
      : vehicle_(vehicle),
        motion_(motion),
        front_(axle_of("front", vehicle.front_tire, vehicle.front_state, vehicle.rear_tire)),
        rear_(axle_of("rear", vehicle.rear_tire, vehicle.rear_state, vehicle.front_tire)) {
    link_wheels();
    link_half_shafts();
    if (vehicle.powertrain != Powertrain::electric) {
      link_driveshafts();
      link_gears();
      link_accessory();
    }
    link_motors();
    read_speed();
    read_engine();
  }

  VehicleLayout take() { return std::move(out_); }

 private:
  bool drives_front() const { return vehicle_.driven_axle == DrivenAxle::front || drives_both(); }
  bool drives_both() const {
    return vehicle_.driven_axle == DrivenAxle::all || vehicle_.driven_axle == DrivenAxle::part_time;
  }
  bool drives_rear() const { return vehicle_.driven_axle == DrivenAxle::rear || drives_both(); }
  bool by_satellite() const { return motion_.by == SpeedSource::gps && positive(motion_.speed); }

  // The axle that the speedometer and the gearbox know: the driven one, the rear one where both are
  // or nobody said, the other one where only its tire is known.
  const Axle& anchor() const {
    const Axle& first = vehicle_.driven_axle == DrivenAxle::front ? front_ : rear_;
    const Axle& second = &first == &front_ ? rear_ : front_;
    return first.known() || !second.known() ? first : second;
  }
  const Axle& other() const { return &anchor() == &front_ ? rear_ : front_; }

  void link(const std::string& slow, const std::string& fast, double ratio, double sd,
            const std::string& name) {
    const std::string text = name + " " + show_number(ratio);
    out_.links.push_back({slow, fast, ratio, sd, " x " + text, " / " + text});
  }

  void link_rigidly(const std::string& slow, const std::string& fast, const std::string& why) {
    out_.links.push_back({slow, fast, 1.0, 0.0, why, why});
  }

  // The road turns one axle, and that tells the other's turns: the tires of one vehicle share most
  // of what is unsure about their circumference. A temporary spare tells least.
  void link_wheels() {
    const bool swap = by_satellite() && anchor().spare() && other().known();
    const Axle& first = swap ? other() : anchor();
    const Axle& second = swap ? anchor() : other();
    if (!first.known()) return;
    const std::string text = "rolling circumference " + mm_text(first.circumference);
    out_.links.push_back({kRoad, first.wheels, 1.0 / first.circumference, first.circumference_sd,
                          " / " + text, " x " + text});
    if (second.known()) link_axles(first, second);
  }

  void link_axles(const Axle& first, const Axle& second) {
    const double between = kBetweenAxlesShare * std::max(first.fitted_sd, second.fitted_sd);
    const double spare = second.spare() && !first.spare() ? kSpareSd : 0.0;
    const double ratio = first.circumference / second.circumference;
    link(first.wheels, second.wheels, ratio, root_of_squares(between, spare),
         "ratio of rolling circumferences");
    if (first.circumference == second.circumference) {
      out_.links.back().factor = out_.links.back().back = ", on tires as large";
    }
  }

  void link_half_shafts() {
    const std::string why = ", turning with them";
    if (drives_front()) link_rigidly(front_.wheels, "front_half_shafts", why);
    if (drives_rear()) link_rigidly(rear_.wheels, "rear_half_shafts", why);
  }

  // Where nobody named the driven axle, an axle ratio is taken for that of an axle with a
  // driveshaft.
  bool has_driveshaft() const {
    return drives_rear() ||
           (vehicle_.driven_axle == DrivenAxle::unknown && positive(vehicle_.axle_ratio));
  }

  void link_driveshafts() {
    const auto ratio = positive(vehicle_.axle_ratio);
    if (!ratio) return;
    if (drives_rear()) link(rear_.wheels, kDriveshaft, *ratio, 0.0, "axle ratio");
    if (drives_both()) link(front_.wheels, "front_driveshaft", *ratio, 0.0, "axle ratio");
    if (vehicle_.driven_axle == DrivenAxle::unknown) {
      link(anchor().wheels, kDriveshaft, *ratio, 0.0, "(driven axle not told) axle ratio");
    }
  }

  // A belt gearbox has no fixed ratio, and in a power-split hybrid engine and road are unrelated. A
  // hybrid with gears of its own is geared like any other.
  std::optional<double> fixed_gear() const {
    const bool geared = vehicle_.gearbox == Gearbox::manual ||
                        vehicle_.gearbox == Gearbox::automatic ||
                        vehicle_.gearbox == Gearbox::dual_clutch;
    const bool hybrid = vehicle_.powertrain == Powertrain::hybrid;
    if (vehicle_.gearbox == Gearbox::belt || (hybrid && !geared)) return std::nullopt;
    return positive(vehicle_.gear_ratio);
  }

  void link_gears() {
    link_gearbox_output();
    const auto gear = fixed_gear();
    if (!gear) return;
    if (vehicle_.gearbox == Gearbox::automatic) {
      link(kGearboxOutput, kConverter, *gear, 0.0, "gear ratio");
      link(kConverter, kEngine, 1.0 + kSlip, kSlipSd, "converter slip");
      return;
    }
    // A gearbox that nobody named may have a converter: no shift, but its doubt.
    const bool untold = vehicle_.gearbox == Gearbox::unknown;
    link(kGearboxOutput, kEngine, *gear, untold ? kSlipSd : 0.0, "gear ratio");
  }

  void link_gearbox_output() {
    const auto axle = positive(vehicle_.axle_ratio);
    const auto transfer = positive(vehicle_.transfer_ratio);
    if (has_driveshaft() && transfer) {
      link(kDriveshaft, kGearboxOutput, *transfer, 0.0, "transfer ratio");
    } else if (has_driveshaft()) {
      link_rigidly(kDriveshaft, kGearboxOutput, ", turning with it");
    } else if (vehicle_.driven_axle == DrivenAxle::front && axle) {
      link(front_.wheels, kGearboxOutput, *axle, 0.0, "axle ratio");
    }
  }

  void link_accessory() {
    if (const auto ratio = positive(vehicle_.accessory_ratio)) {
      link(kEngine, "accessory", *ratio, 0.0, "accessory ratio");
    }
  }

  void link_motors() {
    const auto ratio = positive(vehicle_.reduction_ratio);
    if (!ratio || vehicle_.powertrain == Powertrain::engine) return;
    const Axle& axle = vehicle_.driven_axle == DrivenAxle::rear    ? rear_
                       : vehicle_.driven_axle == DrivenAxle::front ? front_
                                                                   : anchor();
    link(axle.wheels, "motor_rotor", *ratio, 0.0, "reduction ratio");
    if (drives_both()) {
      const Axle& second = &axle == &front_ ? rear_ : front_;
      link(second.wheels, second.side + "_motor_rotor", *ratio, 0.0, "reduction ratio");
    }
  }

  // The tire the speedometer is set for. It never is a temporary spare: then it is the size of the
  // other axle.
  const Tire* set_tire() const {
    if (vehicle_.speedometer_tire) return &*vehicle_.speedometer_tire;
    const Axle& axle = anchor().spare() && other().known() ? other() : anchor();
    return axle.tire;
  }

  void read_speed() {
    const auto speed = positive(motion_.speed);
    if (!speed) return;
    const double reading = std::fabs(motion_.speed_reading_sd) / *speed;
    if (by_satellite()) {
      out_.readings.push_back({kRoad, *speed, reading, "by satellite"});
      return;
    }
    const bool untold = motion_.by == SpeedSource::unknown;
    const std::string source =
        untold
            ? "speed " + speed_text(*speed) + ", source not told, taken as a speedometer 2.5 % high"
            : "speedometer " + speed_text(*speed) + ", taken as 2.5 % high";
    const double corrected = *speed / (1.0 + kReadsHigh);
    const double high_sd = untold ? kUntoldSd : kReadsHighSd;
    const Tire* set = set_tire();
    if (set == nullptr) {
      out_.readings.push_back({kRoad, corrected, root_of_squares(reading, high_sd), source});
      return;
    }
    const double round = set->rolling_circumference;
    const double sd = root_of_squares(reading, high_sd, root_of_squares(kSetSizeSd, set->size_sd),
                                      root_of_squares(spare_sd(), size_doubt(round)));
    out_.readings.push_back({anchor().wheels, corrected / round, sd,
                             source + ", / " + mm_text(round) + " a turn that it is set for"});
  }

  double spare_sd() const { return anchor().spare() ? kSpareSd : 0.0; }

  // Dash or satellite matters most where the tires are not the ones the speedometer is set for.
  double size_doubt(double set_circumference) const {
    if (motion_.by != SpeedSource::unknown || !anchor().known() || anchor().spare()) return 0.0;
    const double fitted = anchor().tire->rolling_circumference;
    return kUntoldSizeShare * std::fabs(fitted / set_circumference - 1.0);
  }

  void read_engine() {
    const auto hz = positive(motion_.engine_hz);
    if (!hz || vehicle_.powertrain == Powertrain::electric) return;
    out_.readings.push_back(
        {kEngine, *hz, std::fabs(motion_.engine_reading_sd) / *hz, "read as " + rpm_text(*hz)});
  }

  const VehicleFacts& vehicle_;
  const Motion& motion_;
  Axle front_, rear_;
  VehicleLayout out_;
};

}  // namespace

std::optional<double> positive(const std::optional<double>& value) {
  return value && std::isfinite(*value) && *value > 0.0 ? value : std::nullopt;
}

double root_of_squares(double a, double b, double c, double d) {
  return std::sqrt(a * a + b * b + c * c + d * d);
}

std::string speed_text(double metres_per_second) {
  return tenths(in_usual_unit(metres_per_second, Dimension::speed, Units::us)) + " mph (" +
         tenths(in_usual_unit(metres_per_second, Dimension::speed, Units::metric)) + " km/h)";
}

std::string rpm_text(double hz) { return show_number(std::round(hz * kSecondsPerMinute)) + " rpm"; }

VehicleLayout vehicle_layout(const VehicleFacts& vehicle, const Motion& motion) {
  return Layout(vehicle, motion).take();
}

}  // namespace perrev
