#include "engine/bench/synthetic_recording.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <functional>
#include <numbers>

#include "engine/bench/synthetic_draw.h"
#include "engine/physics/drive_signal.h"
#include "engine/physics/felt_curve.h"
#include "engine/quantity/angle.h"

namespace perrev {

namespace {

constexpr double kBelow = 0.85, kAbove = 1.15;       // of the worst speed, at the ends of the drive
constexpr double kHeld = 0.005, kHeldPeriod = 17.0;  // s: how a driver holds a speed
constexpr double kElsewhere = 25.0;                  // m/s, where no worst speed was named
constexpr double kWhite = 0.01;                      // m/s2 r.m.s.: what a recorder adds
constexpr double kSpeedStep = 0.5;  // m/s between the speeds that a tone is computed at

// The model with nothing but the paths of some pushes to the seat.
class Tone {
 public:
  Tone(const PhysicsBook& book, int body, std::initializer_list<Push> pushes) : book_(book) {
    std::erase_if(book_.paths, [&](const PhysicsPath& path) {
      return path.to != FeltPlace::seat ||
             std::find(pushes.begin(), pushes.end(), path.from) == pushes.end();
    });
    model_ = std::make_unique<FeltModel>(book_, body);
  }
  // Amplitude in m/s2.
  double at(const FaultAt& fault, double speed) const {
    const std::size_t seat = static_cast<std::size_t>(FeltPlace::seat);
    return std::numbers::sqrt2 * model_->at(fault, speed).places[seat].acceleration;
  }

 private:
  PhysicsBook book_;
  std::unique_ptr<FeltModel> model_;
};

// A function of speed by its values at a few.
class OverSpeed {
 public:
  OverSpeed(double from, double to, const std::function<double(double)>& of) : from_(from) {
    for (double speed = from; speed < to + 2.0 * kSpeedStep; speed += kSpeedStep)
      values_.push_back(of(speed));
  }
  double operator()(double speed) const {
    const double at = std::max(0.0, (speed - from_) / kSpeedStep);
    const std::size_t i = std::min(static_cast<std::size_t>(at), values_.size() - 2);
    return values_[i] + (at - static_cast<double>(i)) * (values_[i + 1] - values_[i]);
  }

 private:
  double from_;
  std::vector<double> values_;
};

std::function<double(double)> speed_of(const RecordingStyle& style, double middle, bool falls) {
  if (style.shape == DriveShape::steady)
    return [=](double time) {
      return middle * (1.0 + kHeld * std::sin(2.0 * std::numbers::pi * time / kHeldPeriod));
    };
  const double first = middle * (falls ? kAbove : kBelow),
               last = middle * (falls ? kBelow : kAbove);
  return [=, duration = style.duration](double time) {
    return first + (last - first) * std::clamp(time / duration, 0.0, 1.0);
  };
}

int body_of(const PhysicsBook& book, std::string_view kind) {
  for (std::size_t b = 0; b < book.bodies.size(); ++b)
    if (book.bodies[b].id == kind) return static_cast<int>(b);
  return 0;
}

}  // namespace

SyntheticRecording record(const Simulator& simulator, const SyntheticComplaint& complaint,
                          const RecordingStyle& style, std::uint64_t seed) {
  const SyntheticTruth& truth = complaint.truth;
  const PhysicsBook& book = simulator.book(truth.roughness);
  const int body =
      body_of(book, synthetic_kinds()[static_cast<std::size_t>(truth.vehicle.kind)].id);
  const PhysicsFault& fault =
      book.faults[static_cast<std::size_t>(book.fault_of[static_cast<std::size_t>(truth.cause)])];
  const double size = fault.median * std::pow(10.0, truth.number_db / 20.0);
  const FaultAt at{fault.kind,  size,       truth.order, truth.turns_per_metre,
                   truth.front, fault.when, fault.steer, fault.vertical};
  const double middle = truth.worst_speed > 0.0 ? truth.worst_speed : kElsewhere;
  const double low = kBelow * middle, high = kAbove * middle;
  const double highest = 0.5 * style.sample_rate;

  Drive drive;
  drive.car = quarter_car_of(book.bodies[static_cast<std::size_t>(body)]);
  drive.speed = speed_of(style, middle,
                         fault.when == ShakesWhile::braking || style.shape == DriveShape::coasting);
  drive.roughness = book.road.roughness;
  drive.sample_rate = style.sample_rate;
  drive.samples = static_cast<std::size_t>(std::floor(style.duration * style.sample_rate)) + 1;
  Random random = Random::stream(seed, 1);
  const double phase = kTurn * random.real();
  const FeltModel model(book, body);
  const OverSpeed upright(low, high, [&](double speed) {
    return model.pushes(at, speed)[static_cast<std::size_t>(Push::vertical)];
  });
  // What of the fault the recorder catches.
  const auto heard = [&](double speed) {
    return at.order * at.turns_per_metre * speed < highest ? style.gain : 0.0;
  };
  drive.faults = {{at.order, at.turns_per_metre, phase,
                   [&](double speed) { return heard(speed) * upright(speed); }}};
  drive.seed = seed;
  const DriveSignal body_z = drive_signal(drive);
  drive.faults.clear();
  drive.seed = seed + 1;
  const DriveSignal road_x = drive_signal(drive);
  drive.seed = seed + 2;
  const DriveSignal road_y = drive_signal(drive);

  const auto tone_of = [&](std::initializer_list<Push> pushes) {
    const Tone tone(book, body, pushes);
    return OverSpeed(low, high, [&](double speed) { return tone.at(at, speed); });
  };
  const OverSpeed along = tone_of({Push::fore_aft}), across = tone_of({Push::lateral, Push::axial}),
                  shafts = tone_of({Push::shaft, Push::torque});
  SyntheticRecording out;
  out.speed = body_z.speed;
  for (std::size_t i = 0; i < body_z.speed.size(); ++i) {
    const double speed = body_z.speed[i];
    const double turn = kTurn * at.order * at.turns_per_metre * body_z.distance[i];
    const double tone = heard(speed) * std::cos(turn + phase);
    const double aside = heard(speed) * std::sin(turn + phase);
    out.time.push_back(static_cast<double>(i) / style.sample_rate);
    out.x.push_back(book.road.fore_aft * road_x.acceleration[i] + kWhite * random.normal() +
                    along(speed) * aside);
    out.y.push_back(book.road.lateral * road_y.acceleration[i] + kWhite * random.normal() +
                    across(speed) * aside);
    out.z.push_back(body_z.acceleration[i] + kWhite * random.normal() + shafts(speed) * tone);
  }
  return out;
}

std::string recording_csv(const SyntheticRecording& recording) {
  std::string out =
      "time_s,speed_m_s,acceleration_x_m_s2,acceleration_y_m_s2,acceleration_z_m_s2\n";
  for (std::size_t i = 0; i < recording.time.size(); ++i) {
    char line[160];
    std::snprintf(line, sizeof line, "%.5f,%.4f,%.6f,%.6f,%.6f\n", recording.time[i],
                  recording.speed[i], recording.x[i], recording.y[i], recording.z[i]);
    out += line;
  }
  return out;
}

}  // namespace perrev
