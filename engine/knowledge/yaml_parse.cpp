#include "engine/knowledge/yaml_parse.h"

#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <exception>
#include <sstream>
#include <tuple>
#include <utility>

#include "engine/knowledge/record.h"
#include "engine/knowledge/source_text.h"
#include "engine/quantity/text.h"

namespace perrev {

namespace {

constexpr const char* kCheckAll = "check indentation, brackets and quotes";

// What to do about a complaint of yaml-cpp, from its words and the line it names.
std::string advice_for(const std::string& message, std::string_view line) {
  static const std::pair<const char*, const char*> kAdvice[] = {
      {YAML::ErrorMsg::MAP_VALUE, "quotes round a text that holds ': ', or other indentation"},
      {YAML::ErrorMsg::END_OF_SEQ_FLOW, "commas in between and a ] at the end"},
      {YAML::ErrorMsg::END_OF_MAP_FLOW, "commas in between and a } at the end"},
      {YAML::ErrorMsg::UNKNOWN_TOKEN,
       "quotes round a text that begins with @, % or `, or has a ? within brackets"},
      {YAML::ErrorMsg::INVALID_ESCAPE, "single quotes where a backslash is meant"},
  };
  if (line.substr(0, line.find_first_not_of(" \t")).find('\t') != std::string_view::npos)
    return "indent with blanks, not tabs";
  for (const auto& [words, advice] : kAdvice)
    if (message.rfind(words, 0) == 0) return advice;
  return kCheckAll;
}

constexpr const char* kNoAlias = "an alias (*) is not allowed";
constexpr const char* kNoAliasRight = "write the value out";

// Thrown through yaml-cpp to stop it; never leaves this file.
struct Stop {
  Problem problem;
};

class TreeBuilder : public YAML::EventHandler {
 public:
  TreeBuilder(std::string shown, const std::string& text) : shown_(std::move(shown)), text_(text) {
    end_.line = static_cast<int>(std::count(text.begin(), text.end(), '\n')) - 1;
    end_.column = static_cast<int>(raw_line(text, end_.line + 1).size());
  }

  YamlNode root;
  Problems problems;
  int documents = 0;
  YAML::Mark document;  // where the last one begins

  // The mapping or sequence that is being read.
  const YamlNode* innermost() const { return open_.empty() ? nullptr : &open_.back().node; }

  // What comes after the text is told at the end of its last line.
  YAML::Mark within(const YAML::Mark& mark) const { return mark.line > end_.line ? end_ : mark; }

  void OnDocumentStart(const YAML::Mark& mark) override {
    ++documents;
    document = mark;
  }
  void OnDocumentEnd() override {}
  void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
    refuse_properties(mark, {}, anchor);
    add(node(YamlNode::Kind::null, within(mark)));
  }
  void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override {
    throw Stop{at(mark, kNoAlias, kNoAliasRight)};
  }
  void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                const std::string& value) override {
    refuse_properties(mark, tag, anchor);
    refuse_escapes(mark, value);
    refuse_open_quote(mark);
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
  Problem no_key(int line, int column) const {  // a bracket left open looks like this too
    return Problem{{shown_, line, column, {}},
                   "a key must be plain text",
                   "name: value, and every bracket closed",
                   {}};
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
  char first_letter(const YAML::Mark& mark) const {
    const std::size_t begins = static_cast<std::size_t>(std::max(mark.pos, 0));
    return begins < text_.size() ? text_[begins] : ' ';
  }
  void refuse_properties(const YAML::Mark& mark, const std::string& tag,
                         YAML::anchor_t anchor) const {
    if (anchor != YAML::NullAnchor)
      throw Stop{
          at(mark, "an anchor (&) is not allowed", "write the value out where it is needed")};
    // Quoted text has the tag "!" by itself: only the file tells whether one was written.
    if (first_letter(mark) == '!' || (!tag.empty() && tag != "?" && tag != "!"))
      throw Stop{at(mark, "a tag (!) is not allowed", "leave it out: every value is text")};
  }
  // "\0" and "\e" make control characters, "\N" and "\_" of yaml-cpp 0.7 single bytes of Latin-1.
  void refuse_escapes(const YAML::Mark& mark, const std::string& value) const {
    for (std::size_t i = 0; i < value.size();) {
      const std::size_t length = sequence_length(value, i);
      if (length == 0 || is_control(value, i))
        throw Stop{at(mark, "an escape makes a control character here", "plain text")};
      i += length;
    }
  }
  // yaml-cpp 0.7 takes a quote that is never closed if the text ends with a line end, and with it
  // the rest of the file.
  void refuse_open_quote(const YAML::Mark& mark) const {
    const char quote = first_letter(mark);
    if (quote != '"' && quote != '\'') return;
    const char escape = quote == '"' ? '\\' : quote;  // before a quote that is meant
    for (std::size_t i = static_cast<std::size_t>(mark.pos) + 1; i + 1 < text_.size(); ++i) {
      if (text_[i] == escape && (quote == '"' || text_[i + 1] == quote))
        ++i;
      else if (text_[i] == quote)
        return;
    }
    throw Stop{at(mark, "a quote is not closed", "quotes at both ends of a text")};
  }
  void start(YamlNode::Kind kind, const YAML::Mark& mark, const std::string& tag,
             YAML::anchor_t anchor) {
    refuse_properties(mark, tag, anchor);
    if (expects_key()) throw Stop{no_key(mark.line + 1, mark.column + 1)};
    if (open_.size() >= static_cast<std::size_t>(kDeepest))
      throw Stop{at(mark, "nested more than " + std::to_string(kDeepest) + " deep",
                    "rule files need less than ten levels")};
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
      throw Stop{no_key(made.line, made.column)};
    } else {
      parent.key.value = std::move(made);
      parent.node.members.push_back(std::move(parent.key));
      parent.has_key = false;
    }
  }
  void check_duplicates(const YamlNode& mapping) {
    std::vector<const YamlMember*> sorted;
    for (const YamlMember& member : mapping.members) sorted.push_back(&member);
    std::sort(sorted.begin(), sorted.end(), [](const YamlMember* a, const YamlMember* b) {
      return std::tie(a->key, a->line, a->column) < std::tie(b->key, b->line, b->column);
    });
    const YamlMember* first = nullptr;
    for (const YamlMember* member : sorted) {
      if (first && first->key == member->key) {
        if (problems.size() == kMostProblems) return;
        problems.push_back(Problem{{shown_, member->line, member->column, {}},
                                   "'" + short_text(member->key) + "' stands here twice",
                                   "first in line " + std::to_string(first->line) + "; keep one",
                                   {}});
      } else {
        first = member;
      }
    }
  }

  std::string shown_;
  const std::string& text_;
  YAML::Mark end_;
  std::vector<Open> open_;
};

Problems with_sources(Problems problems, const std::string& text) {
  const SourceLines lines(text);
  for (Problem& p : problems) p.source = lines.at(p.place.line);
  return problems;
}

}  // namespace

namespace {

// `text` is clean and ends with a line end.
Result<YamlNode, Problems> tree_of(const std::string& shown, const std::string& text) {
  TreeBuilder builder(shown, text);
  const auto stopped = [&](int line, int column, std::string what, std::string right) {
    builder.problems.push_back(
        Problem{{shown, line, column, {}}, std::move(what), std::move(right), {}});
  };
  try {
    std::istringstream in(text);
    YAML::Parser parser(in);
    parser.HandleNextDocument(builder);
    if (builder.root.kind == YamlNode::Kind::null)
      stopped(1, 1, "the file is empty", "at least one entry");
    YamlNode first = std::move(builder.root);
    parser.HandleNextDocument(builder);
    builder.root = std::move(first);
  } catch (const Stop& stop) {
    builder.problems.push_back(stop.problem);
  } catch (const YAML::Exception& error) {
    const YamlNode* inside = builder.innermost();
    const bool at_end = error.mark.pos >= static_cast<int>(text.size());
    const YAML::Mark mark = builder.within(error.mark);
    const int line = at_end && inside ? inside->line : mark.line + 1;
    const int column = at_end && inside ? inside->column : mark.column + 1;
    if (error.msg.rfind(YAML::ErrorMsg::UNKNOWN_ANCHOR, 0) == 0)
      stopped(line, column, kNoAlias, kNoAliasRight);
    else
      stopped(line, column, "not YAML: " + short_text(error.msg),
              advice_for(error.msg, raw_line(text, line)));
  } catch (const std::exception& error) {
    stopped(1, 1, std::string("not YAML: ") + error.what(), kCheckAll);
  }
  if (builder.documents > 1)
    stopped(builder.document.line + 1, builder.document.column + 1, "a second document begins here",
            "exactly one document a file, and even indentation");
  if (!builder.problems.empty()) return with_sources(std::move(builder.problems), text);
  return std::move(builder.root);
}

}  // namespace

Result<YamlNode, Problems> parse_yaml(const std::string& shown, const std::string& text) {
  Problems bytes = check_text(shown, text);
  if (!bytes.empty()) return bytes;
  // With a line end at its end yaml-cpp says the same of a text whether it had one or not.
  return !text.empty() && text.back() == '\n' ? tree_of(shown, text) : tree_of(shown, text + "\n");
}

}  // namespace perrev
