// The graph of parts: speeds spread over ratios, the same from either end.
#include "engine/vehicle/part_graph.h"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdint>
#include <string>
#include <vector>

using perrev::PartBelief;
using perrev::PartLink;
using perrev::PartReading;
using perrev::spread;

namespace {

class Lcg {
 public:
  explicit Lcg(std::uint64_t seed) : state_(seed) {}
  double between(double low, double high) {
    state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
    return low + (high - low) * static_cast<double>(state_ >> 11) / 9007199254740992.0;
  }
  int below(int count) { return static_cast<int>(between(0.0, count)); }

 private:
  std::uint64_t state_;
};

PartLink link(const std::string& slow, const std::string& fast, double ratio, double sd = 0.0) {
  return {slow, fast, ratio, sd, " x", " /"};
}

PartReading reading(const std::string& part, double value, double sd) {
  return {part, value, sd, "read"};
}

std::string name(int vertex) { return "p" + std::to_string(vertex); }

// A random tree: each part hangs on an earlier one, either way round.
std::vector<PartLink> random_tree(Lcg& random, int parts) {
  std::vector<PartLink> links;
  for (int v = 1; v < parts; ++v) {
    const int w = random.below(v);
    const bool down = random.below(2) == 0;
    const double ratio = random.between(0.3, 4.0);
    const double sd = random.between(0.0, 0.03);
    links.push_back(link(name(down ? v : w), name(down ? w : v), ratio, sd));
  }
  return links;
}

}  // namespace

TEST_CASE("law: ratios compose along a chain and uncertainties add in squares") {
  const std::vector<PartLink> links = {link("a", "b", 2.0, 0.03), link("b", "c", 3.0, 0.04)};
  const auto up = spread(links, {reading("a", 10.0, 0.12)});
  CHECK(up.at("b").value == doctest::Approx(20.0));
  CHECK(up.at("c").value == doctest::Approx(60.0));
  CHECK(up.at("c").sd == doctest::Approx(0.13));
  const auto down = spread(links, {reading("c", 60.0, 0.12)});
  CHECK(down.at("a").value == doctest::Approx(10.0));
  CHECK(down.at("a").sd == doctest::Approx(0.13));
}

TEST_CASE("law: propagation is the same from either end") {
  Lcg random(3);
  for (int round = 0; round < 300; ++round) {
    const int parts = 2 + random.below(9);
    const auto links = random_tree(random, parts);
    const std::string from = name(random.below(parts));
    const std::string to = name(random.below(parts));
    const double value = random.between(1.0, 100.0);
    const auto there = spread(links, {reading(from, value, 0.01)});
    const auto back = spread(links, {reading(to, there.at(to).value, 0.01)});
    CHECK(there.size() == static_cast<std::size_t>(parts));
    CHECK(back.at(from).value == doctest::Approx(value).epsilon(1e-9));
    CHECK(back.at(from).sd == doctest::Approx(there.at(to).sd).epsilon(1e-9));
  }
}

TEST_CASE("law: the order of links and readings does not matter") {
  Lcg random(4);
  for (int round = 0; round < 100; ++round) {
    const int parts = 3 + random.below(8);
    auto links = random_tree(random, parts);
    std::vector<PartReading> readings = {reading(name(0), 10.0, 0.02),
                                         reading(name(parts - 1), 12.0, 0.05)};
    const auto one = spread(links, readings);
    for (std::size_t i = links.size(); i > 1; --i) {
      std::swap(links[i - 1], links[static_cast<std::size_t>(random.below(static_cast<int>(i)))]);
    }
    std::swap(readings[0], readings[1]);
    const auto other = spread(links, readings);
    REQUIRE(one.size() == other.size());
    for (const auto& [part, belief] : one) {
      CHECK(other.at(part).value == doctest::Approx(belief.value).epsilon(1e-9));
      CHECK(other.at(part).sd == doctest::Approx(belief.sd).epsilon(1e-9));
    }
  }
}

TEST_CASE("law: two readings give what weighted least squares over the chain gives") {
  // Independent twin: with exact ratios both readings speak of one quantity, by 1/sd^2.
  Lcg random(5);
  for (int round = 0; round < 100; ++round) {
    const double ratio = random.between(0.5, 4.0);
    const double a = random.between(5.0, 20.0), sa = random.between(0.005, 0.05);
    const double b = a * ratio * random.between(0.97, 1.03), sb = random.between(0.005, 0.05);
    const auto beliefs =
        spread({link("a", "b", ratio)}, {reading("a", a, sa), reading("b", b, sb)});
    const double wa = 1 / (sa * sa), wb = 1 / (sb * sb);
    CHECK(beliefs.at("a").value == doctest::Approx((a * wa + b / ratio * wb) / (wa + wb)));
    CHECK(beliefs.at("b").value == doctest::Approx(beliefs.at("a").value * ratio));
    CHECK(beliefs.at("a").sd == doctest::Approx(1 / std::sqrt(wa + wb)));
  }
}

TEST_CASE("what no reading reaches is not there") {
  const auto beliefs =
      spread({link("a", "b", 2.0), link("c", "d", 2.0)}, {reading("a", 1.0, 0.01)});
  CHECK(beliefs.count("b") == 1);
  CHECK(beliefs.count("c") == 0);
  CHECK(beliefs.count("d") == 0);
  CHECK(spread({}, {}).empty());
  CHECK(spread({link("a", "b", 2.0)}, {}).empty());
}

TEST_CASE("a circle of links does not hang") {
  const auto beliefs = spread({link("a", "b", 2.0), link("b", "c", 2.0), link("c", "a", 0.25)},
                              {reading("a", 1.0, 0.01)});
  CHECK(beliefs.at("b").value == doctest::Approx(2.0));
  CHECK(beliefs.at("c").value == doctest::Approx(4.0));
}

TEST_CASE("an exact reading stays finite and wins") {
  const auto beliefs =
      spread({link("a", "b", 2.0)}, {reading("a", 1.0, 0.0), reading("b", 2.2, 0.05)});
  CHECK(beliefs.at("a").value == doctest::Approx(1.0).epsilon(1e-6));
  CHECK(std::isfinite(beliefs.at("b").sd));
}
