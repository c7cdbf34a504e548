#include "engine/knowledge/fields.h"

namespace perrev {

namespace {

using Many = Shape::Many;

constexpr double kLeast = 0.000001;  // of what must be above 0

Field positive(std::string_view key, std::string_view doc, double high, double low = kLeast) {
  return {key, FieldType::number, true, doc, {}, low, high};
}
Field factor(std::string_view key, std::string_view doc, double high = 100.0) {
  return {key, FieldType::number, false, doc, {}, 0.0, high};
}
Field origin() {
  return {"origin", FieldType::text, true, "a citation, common practice, or from memory", {}, 0.0,
          1e9,      {"text"}};
}
Field table(std::string_view key, std::string_view doc, const FieldTable& (*fields)(), Many many,
            std::string_view keys = {}) {
  return {key, FieldType::node, true, doc, {}, 0.0, 1e9, {{}, fields, many, keys}};
}

}  // namespace

const FieldTable& physics_fields() {
  static const FieldTable all = {
      table("bodies", "answer of vehicle_kind: one corner of such a vehicle", body_fields,
            Many::by_id, "vehicle_kind_keys"),
      table("road", "the road that is driven on", road_fields, Many::one),
      table("people", "how people feel and what they say of it", people_fields, Many::one),
      table("paths", "a list of {from:, to:, hz:, ...}", felt_path_fields, Many::list),
      table("faults", "cause: how large it is; its speeds, places and strength are computed",
            fault_fields, Many::by_id, "turning_cause_keys"),
  };
  return all;
}

const FieldTable& body_fields() {
  static const FieldTable all = {
      positive("sprung_kg", "body over one wheel, in kg", 10000.0, 1.0),
      positive("unsprung_kg", "wheel and what moves with it, in kg", 2000.0, 1.0),
      positive("spring_n_per_mm", "suspension spring at the wheel, in N/mm", 10000.0, 0.1),
      positive("tire_n_per_mm", "tire, upright, in N/mm", 10000.0, 1.0),
      positive("damper_ns_per_m", "damper at the wheel, in N s/m", 100000.0, 1.0),
      positive("wheel_kg", "tire and wheel together, in kg", 2000.0, 1.0),
      positive("circumference_mm", "rolling circumference of its usual tires, in mm", 10000.0,
               100.0),
      positive("circumference_sd", "how it scatters: one standard deviation, as a part of it", 0.5,
               0.001),
      positive("axle_ratio", "usual turns of the driveshaft for each of the wheel", 50.0, 0.1),
      positive("axle_ratio_sd", "how it scatters: one standard deviation, as a part of it", 0.5,
               0.001),
      origin(),
  };
  return all;
}

const FieldTable& road_fields() {
  static const FieldTable all = {
      positive("roughness_cm3", "height of the road by ISO 8608 at 0.1 cycles/m, in 1e-6 m3", 1e6,
               0.001),
      {"fore_aft",
       FieldType::number,
       true,
       "N of road noise fore and aft for each N upright",
       {},
       0.0,
       10.0},
      {"lateral",
       FieldType::number,
       true,
       "N of road noise sideways for each N upright",
       {},
       0.0,
       10.0},
      origin(),
  };
  return all;
}

const FieldTable& people_fields() {
  static const FieldTable all = {
      positive("spread_db", "thresholds between people, one standard deviation in dB", 40.0, 0.1),
      positive("vehicle_spread_db",
               "paths between vehicles of a kind, one standard deviation in dB", 40.0, 0.1),
      positive("listening_hz", "width in Hz of the noise in which a steady tone is lost", 100.0,
               0.001),
      {"complains_from_db",
       FieldType::number,
       true,
       "level above the threshold, in dB, at which half of those who feel it complain",
       {},
       -40.0,
       100.0},
      positive("complains_spread_db", "one standard deviation of that, in dB", 40.0, 0.1),
      positive("clear_db", "level above the threshold from which it is called clear", 100.0, 0.1),
      positive("strong_db", "level from which it is called strong", 100.0, 0.1),
      positive("alarming_db", "level from which it is called alarming", 100.0, 0.1),
      positive("strength_spread_db", "how these borders scatter between people, in dB", 40.0, 0.1),
      positive("whole_car_db", "level at the seat from which half call it the whole car", 100.0,
               0.1),
      table("senses", "place: {weighting:, threshold:, origin:}", sense_fields, Many::by_id,
            "felt_place_keys"),
      origin(),
  };
  return all;
}

const FieldTable& sense_fields() {
  static const FieldTable all = {
      {"weighting",
       FieldType::choice,
       true,
       "wk, wd or wh",
       {{"wk", "upright, seated or standing: ISO 2631-1"},
        {"wd", "sideways and fore and aft: ISO 2631-1"},
        {"wh", "hands: ISO 5349-1"}}},
      positive("threshold", "m/s2 weighted r.m.s. that half of the people just feel, in quiet",
               10.0),
      origin(),
  };
  return all;
}

const FieldTable& felt_path_fields() {
  static const FieldTable all = {
      {"from",
       FieldType::choice,
       true,
       "what the fault pushes with",
       {{"vertical", "N upright at the wheel"},
        {"fore_aft", "N fore and aft at the wheel"},
        {"steer", "N m about the kingpin"},
        {"lateral", "N sideways at the wheel"},
        {"shaft", "N at the ends of a driveshaft"},
        {"axial", "N along a half shaft"},
        {"torque", "N m of fluctuating torque in engine, shafts or brakes"},
        {"pressure", "N at the brake pedal"}}},
      {"to",
       FieldType::choice,
       true,
       "where it is felt",
       {{"steering_wheel", "in the hands"},
        {"seat", "in the seat"},
        {"floor", "in the feet"},
        {"brake_pedal", "in the foot on the brake"},
        {"gear_lever", "in the hand on the lever"}}},
      positive("hz", "natural frequency of the path, in Hz", 1000.0, 0.1),
      positive("damping", "ratio to critical damping", 10.0, 0.001),
      {"isolates", FieldType::yes_no, false,
       "yes: passes what is far below its frequency; no: what is far above"},
      positive("gain", "m/s2 for each N or N m; from vertical: for each m/s2 of the body", 1000.0),
      factor("front", "factor where the fault sits at the front axle"),
      factor("rear", "factor where the fault sits at the rear axle"),
      origin(),
  };
  return all;
}

const FieldTable& fault_fields() {
  static const FieldTable all = {
      {"kind",
       FieldType::choice,
       true,
       "how its size is measured",
       {{"imbalance", "g at the rim flange"},
        {"couple_imbalance", "g at both rim flanges, opposite"},
        {"force_variation", "N peak to peak, at its order"},
        {"radial_runout", "mm total reading, of the order that shakes"},
        {"lateral_runout", "mm total reading"},
        {"eccentricity", "mm that wheel and axis are apart"},
        {"shaft_imbalance", "g mm at one end of a shaft or a rotor"},
        {"shaft_runout", "mm total reading in the middle of a shaft"},
        {"joint_angle", "deg, equivalent angle of the joints of a shaft"},
        {"axial_force", "N amplitude, of a joint under drive torque"},
        {"brake_torque", "N m peak to peak, while braking"},
        {"engine_torque", "N m amplitude, at its order"}}},
      positive("median", "size in the unit of its kind that half of such vehicles exceed", 1e6),
      positive("spread", "factor of one standard deviation: two thirds lie within it, up and down",
               20.0, 1.01),
      factor("front", "probability that it sits at the front axle", 1.0),
      {"changed", FieldType::yes_no, false,
       "yes: it comes with a wheel or tire that was changed, and sits where that sits"},
      {"driven", FieldType::yes_no, false,
       "yes: it sits at the driven axle, where only one is driven"},
      {"while",
       FieldType::choice,
       false,
       "when it shakes",
       {{"driving", "whenever the vehicle moves"},
        {"braking", "while the brakes are applied"},
        {"pulling", "while the engine pulls"}}},
      factor("steer", "factor on what turns the steering"),
      factor("vertical", "factor on what pushes upright"),
      factor("heard_db", "level above what is just heard beside the road at 18 m/s; 0: not heard"),
      origin(),
  };
  return all;
}

}  // namespace perrev
