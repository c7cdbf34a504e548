#include "engine/knowledge/yaml_tree.h"

#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <sstream>
#include <stdexcept>
#include <utility>

namespace perrev {

const YamlNode* YamlNode::find(std::string_view key) const {
  for (const YamlMember& member : members)
    if (member.key == key) return &member.value;
  return nullptr;
}

std::string source_line(std::string_view text, int line) {
  constexpr std::size_t kWidest = 96;
  std::size_t start = 0;
  for (int i = 1; i < line; ++i) {
    start = text.find('\n', start);
    if (start == std::string_view::npos) return {};
    ++start;
  }
  std::string_view found = text.substr(start, text.find('\n', start) - start);
  if (!found.empty() && found.back() == '\r') found.remove_suffix(1);
  const bool cut = found.size() > kWidest;
  if (cut) {
    std::size_t end = kWidest;
    while (end > 0 && (static_cast<unsigned char>(found[end]) & 0xC0u) == 0x80u) --end;
    found = found.substr(0, end);
  }
  std::string out;
  for (const char c : found) out += (static_cast<unsigned char>(c) < 0x20u || c == 0x7f) ? ' ' : c;
  return cut ? out + "..." : out;
}

namespace {

// Length of the well-formed UTF-8 sequence at `at`, 0 if there is none (Unicode 15, table 3-7).
std::size_t utf8_length(const std::string& text, std::size_t at) {
  const auto byte = [&](std::size_t i) {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : 0u;
  };
  const auto tail = [&](std::size_t i, unsigned low = 0x80u, unsigned high = 0xBFu) {
    return byte(i) >= low && byte(i) <= high;
  };
  const unsigned lead = byte(at);
  if (lead < 0x80u) return 1;
  if (lead >= 0xC2u && lead <= 0xDFu) return tail(at + 1) ? 2 : 0;
  if (lead >= 0xE0u && lead <= 0xEFu) {
    const unsigned low = lead == 0xE0u ? 0xA0u : 0x80u;
    const unsigned high = lead == 0xEDu ? 0x9Fu : 0xBFu;
    return tail(at + 1, low, high) && tail(at + 2) ? 3 : 0;
  }
  if (lead >= 0xF0u && lead <= 0xF4u) {
    const unsigned low = lead == 0xF0u ? 0x90u : 0x80u;
    const unsigned high = lead == 0xF4u ? 0x8Fu : 0xBFu;
    return tail(at + 1, low, high) && tail(at + 2) && tail(at + 3) ? 4 : 0;
  }
  return 0;
}

// Thrown through yaml-cpp to stop it; never leaves this file.
struct Stop : std::runtime_error {
  explicit Stop(Problem p) : std::runtime_error(p.what), problem(std::move(p)) {}
  Problem problem;
};

class TreeBuilder : public YAML::EventHandler {
 public:
  explicit TreeBuilder(std::string shown) : shown_(std::move(shown)) {}

  YamlNode root;
  Problems problems;
  bool seen = false;

  void OnDocumentStart(const YAML::Mark&) override { seen = true; }
  void OnDocumentEnd() override {}
  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
    refuse_anchor(mark, anchor);
    add(node(YamlNode::Kind::null, mark));
  }
  void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override {
    throw Stop(at(mark, "an alias (*) is not allowed", "write the value out"));
  }
  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& value) override {
    refuse_anchor(mark, anchor);
    refuse_tag(mark, tag);
    if (expects_key()) {
      open_.back().key = YamlMember{value, mark.line + 1, mark.column + 1, {}};
      open_.back().has_key = true;
      return;
    }
    YamlNode made = node(YamlNode::Kind::scalar, mark);
    made.scalar = value;
    add(std::move(made));
  }
  void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value) override {
    start(YamlNode::Kind::sequence, mark, tag, anchor);
  }
  void OnSequenceEnd() override { finish(); }
  void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value) override {
    start(YamlNode::Kind::mapping, mark, tag, anchor);
  }
  void OnMapEnd() override {
    check_duplicates(open_.back().node);
    finish();
  }

 private:
  struct Open {
    YamlNode node;
    YamlMember key;
    bool has_key = false;
  };

  Problem at(const YAML::Mark& mark, std::string what, std::string right) const {
    return Problem{
        {shown_, mark.line + 1, mark.column + 1, {}}, std::move(what), std::move(right), {}};
  }
  static YamlNode node(YamlNode::Kind kind, const YAML::Mark& mark) {
    YamlNode made;
    made.kind = kind;
    made.line = mark.line + 1;
    made.column = mark.column + 1;
    return made;
  }
  bool expects_key() const {
    return !open_.empty() && open_.back().node.kind == YamlNode::Kind::mapping &&
           !open_.back().has_key;
  }
  void refuse_anchor(const YAML::Mark& mark, YAML::anchor_t anchor) const {
    if (anchor != YAML::NullAnchor)
      throw Stop(
          at(mark, "an anchor (&) is not allowed", "write the value out where it is needed"));
  }
  void refuse_tag(const YAML::Mark& mark, const std::string& tag) const {
    if (!tag.empty() && tag != "?" && tag != "!")
      throw Stop(at(mark, "a tag (!) is not allowed", "leave it out: every value is text"));
  }
  void start(YamlNode::Kind kind, const YAML::Mark& mark, const std::string& tag,
             YAML::anchor_t anchor) {
    refuse_anchor(mark, anchor);
    refuse_tag(mark, tag);
    if (expects_key()) throw Stop(at(mark, "a key must be plain text", "name: value"));
    if (open_.size() >= static_cast<std::size_t>(kDeepest))
      throw Stop(at(mark, "nested more than " + std::to_string(kDeepest) + " deep",
                    "rule files need less than ten levels"));
    open_.push_back(Open{node(kind, mark), {}, false});
  }
  void finish() {
    YamlNode done = std::move(open_.back().node);
    open_.pop_back();
    add(std::move(done));
  }
  void add(YamlNode made) {
    if (open_.empty()) {
      root = std::move(made);
      return;
    }
    Open& parent = open_.back();
    if (parent.node.kind == YamlNode::Kind::sequence) {
      parent.node.items.push_back(std::move(made));
    } else if (!parent.has_key) {  // `? :` and the like: a key that is nothing
      throw Stop(Problem{
          {shown_, made.line, made.column, {}}, "a key must be plain text", "name: value", {}});
    } else {
      parent.key.value = std::move(made);
      parent.node.members.push_back(std::move(parent.key));
      parent.has_key = false;
    }
  }
  void check_duplicates(const YamlNode& mapping) {
    std::vector<const YamlMember*> sorted;
    for (const YamlMember& member : mapping.members) sorted.push_back(&member);
    std::stable_sort(sorted.begin(), sorted.end(),
                     [](const YamlMember* a, const YamlMember* b) { return a->key < b->key; });
    for (std::size_t i = 1; i < sorted.size(); ++i)
      if (sorted[i]->key == sorted[i - 1]->key)
        problems.push_back(
            Problem{{shown_, sorted[i]->line, sorted[i]->column, {}},
                    "'" + sorted[i]->key + "' stands here twice",
                    "first in line " + std::to_string(sorted[i - 1]->line) + "; keep one",
                    {}});
  }

  std::string shown_;
  std::vector<Open> open_;
};

Problems with_sources(Problems problems, const std::string& text) {
  for (Problem& p : problems) p.source = source_line(text, p.place.line);
  return problems;
}

}  // namespace

Problems check_text(const std::string& shown, const std::string& text) {
  int line = 1;
  std::size_t line_start = 0;
  const auto fault = [&](std::size_t at, std::string what, std::string right) {
    return Problems{Problem{{shown, line, static_cast<int>(at - line_start) + 1, {}},
                            std::move(what),
                            std::move(right),
                            {}}};
  };
  if (text.size() > kLargestText)
    return fault(0, "the text is larger than 8 MiB", "split it into several files");
  if (text.compare(0, 3, "\xEF\xBB\xBF") == 0)
    return fault(0, "the text begins with a byte order mark", "save it as UTF-8 without one");
  for (std::size_t at = 0; at < text.size();) {
    const unsigned char c = static_cast<unsigned char>(text[at]);
    if (c == 0) return fault(at, "a NUL byte", "plain text in UTF-8");
    if ((c < 0x20u && c != '\n' && c != '\r' && c != '\t') || c == 0x7fu)
      return fault(at, "a control character", "plain text in UTF-8");
    const std::size_t length = utf8_length(text, at);
    if (length == 0) return fault(at, "a byte that is not UTF-8", "save the file as UTF-8");
    if (c == '\n') {
      ++line;
      line_start = at + 1;
    }
    at += length;
  }
  return {};
}

Result<YamlNode, Problems> parse_yaml(const std::string& shown, const std::string& text) {
  Problems bytes = check_text(shown, text);
  if (!bytes.empty()) return bytes;
  TreeBuilder builder(shown);
  const auto stopped = [&](int line, int column, std::string what, std::string right) {
    builder.problems.push_back(
        Problem{{shown, line, column, {}}, std::move(what), std::move(right), {}});
  };
  try {
    std::istringstream in(text);
    YAML::Parser parser(in);
    if (!parser.HandleNextDocument(builder) || !builder.seen) {
      stopped(1, 1, "the file is empty", "at least one entry");
    } else {
      YamlNode first = std::move(builder.root);
      if (parser.HandleNextDocument(builder))
        stopped(builder.root.line, builder.root.column, "a second document begins here",
                "exactly one document a file");
      builder.root = std::move(first);
    }
  } catch (const Stop& stop) {
    builder.problems.push_back(stop.problem);
  } catch (const YAML::Exception& error) {
    stopped(error.mark.line + 1, error.mark.column + 1, "not YAML: " + error.msg,
            "check indentation, brackets and quotes");
  } catch (const std::exception& error) {
    stopped(1, 1, std::string("not YAML: ") + error.what(),
            "check indentation, brackets and quotes");
  }
  if (!builder.problems.empty()) return with_sources(std::move(builder.problems), text);
  return std::move(builder.root);
}

}  // namespace perrev
