#include "engine/bench/new_text.h"

#include <algorithm>

#include "engine/bench/yaml_write.h"

namespace perrev {

namespace {

// Bytes at which the lines of a text begin; one more for the end.
std::vector<std::size_t> line_starts(const std::string& text) {
  std::vector<std::size_t> out = {0};
  for (std::size_t i = 0; i < text.size(); ++i)
    if (text[i] == '\n' && i + 1 < text.size()) out.push_back(i + 1);
  out.push_back(text.size());
  return out;
}

class Lines {
 public:
  explicit Lines(const std::string& text) : text_(text), starts_(line_starts(text)) {}

  int count() const { return static_cast<int>(starts_.size()) - 1; }
  // Lines count from 1; one beyond the last is the end of the text.
  std::size_t begin(int line) const { return starts_[static_cast<std::size_t>(line - 1)]; }
  std::size_t byte(int line, int column) const {
    return begin(line) + static_cast<std::size_t>(column - 1);
  }
  // The first column that is no blank; 0 in a line without any.
  int first_column(int line) const {
    const std::size_t from = begin(line), to = begin(line + 1);
    const std::size_t at = text_.find_first_not_of(" \n", from);
    return at >= to ? 0 : static_cast<int>(at - from) + 1;
  }
  bool is_comment(int line) const {
    const int column = first_column(line);
    return column > 0 && text_[byte(line, column)] == '#';
  }

  // The last line of an entry that begins in line `first` at `column` when the next one, or the
  // end, begins in line `next`: comments that stand no deeper than it belong to what comes.
  int last_of(int first, int next, int column) const {
    int last = next - 1;
    while (last > first &&
           (first_column(last) == 0 || (is_comment(last) && first_column(last) <= column)))
      --last;
    return last;
  }

 private:
  const std::string& text_;
  std::vector<std::size_t> starts_;
};

Insertion below_line(const std::string& text, const Lines& lines, int last, std::string added) {
  const std::size_t at = lines.begin(last + 1);
  const bool open_line = at == text.size() && !text.empty() && text.back() != '\n';
  if (open_line) {  // the file stays without a line end at its end
    added.pop_back();
    added.insert(0, 1, '\n');
  }
  return {{}, at, std::move(added)};
}

Problem by_hand(const ParsedFile& file, const std::string& what) {
  return {{file.source.shown, 0, 0, {}},
          what + " in a way that nothing can be put into by itself",
          "write it there by hand, or one entry a line",
          {}};
}

struct Begin {
  int line = 0;
  int column = 0;
};

Spelling spelling_of(const Field* field) {
  const bool prose = field && ((field->type == FieldType::text && field->shape.of.empty()) ||
                               field->shape.of == "answers" || field->key == "stop");
  return prose ? Spelling::prose : Spelling::format;
}

}  // namespace

const ParsedFile* file_named(const std::vector<ParsedFile>& files, std::string_view name) {
  for (const ParsedFile& file : files)
    if (file.source.name == name) return &file;
  return nullptr;
}

std::string family_of(const YamlNode& cause) {
  const YamlNode* family = cause.find("family");
  return family ? family->scalar : std::string();
}

std::string entry_text(const NewThing& thing, const EntryStyle& style) {
  const std::string dash(static_cast<std::size_t>(style.dash), ' ');
  const std::string indent(static_cast<std::size_t>(style.indent), ' ');
  const bool is_item = thing.kind == NewKind::rule || thing.kind == NewKind::edge;
  std::string out;
  if (thing.kind == NewKind::rule)
    out = dash + "- rule: " + thing.id + "\n";
  else if (!is_item)
    out = thing.id + ":\n";
  for (const YamlMember& member : thing.fields.members) {
    const bool first = is_item && out.empty();
    const Field* field = field_of(fields_of(thing.kind), member.key);
    out += (first ? dash + "- " : indent) + member.key + ": " +
           yaml_value(member.value, spelling_of(field)) + "\n";
  }
  return out;
}

Result<std::vector<Insertion>> entry_insertion(const NewThing& thing, const ParsedFile& file,
                                               int below) {
  const Lines lines(file.source.text);
  const YamlNode& root = *file.tree;
  const bool is_list = root.kind == YamlNode::Kind::sequence;
  std::vector<Begin> begins;
  for (const YamlNode& item : root.items) begins.push_back({item.line, item.column});
  for (const YamlMember& member : root.members) begins.push_back({member.line, member.column});
  EntryStyle style;
  for (const Begin& begin : begins) {
    const int first = lines.first_column(begin.line);
    const bool own_line = is_list ? first < begin.column : first == 1 && begin.column == 1;
    const bool same_dash = first == lines.first_column(begins.front().line);
    if (!own_line || !same_dash) return by_hand(file, "the entries of the file are written");
  }
  const std::size_t at = static_cast<std::size_t>(below);
  const Begin& beside = begins[at];
  style.dash = lines.first_column(beside.line) - 1;
  if (is_list) {
    style.indent = beside.column - 1;
  } else if (const auto& members = root.members[at].value.members;
             !members.empty() && members.front().line > beside.line) {
    style.indent = members.front().column - 1;
  }
  const int next = at + 1 < begins.size() ? begins[at + 1].line : lines.count() + 1;
  const int last = lines.last_of(beside.line, next, lines.first_column(beside.line));
  if (at > 0)
    style.separated =
        lines.last_of(begins[at - 1].line, beside.line, style.dash + 1) + 1 < beside.line;
  return std::vector<Insertion>{below_line(
      file.source.text, lines, last, (style.separated ? "\n" : "") + entry_text(thing, style))};
}

Result<std::vector<Insertion>> edge_insertion(const NewThing& thing, const ParsedFile& file) {
  const std::string what = "the edges of the path are written";
  const Lines lines(file.source.text);
  const YamlNode* edges = file.tree->find("edges");
  if (!edges || edges->items.empty()) return by_hand(file, what);
  const YamlNode& item = edges->items.back();
  const int first = lines.first_column(item.line);
  if (first >= item.column) return by_hand(file, what);
  int next = lines.count() + 1;
  for (const YamlMember& member : file.tree->members)
    if (member.line > item.line) next = std::min(next, member.line);
  EntryStyle style;
  style.dash = first - 1;
  style.indent = style.dash + 2;
  const int last = lines.last_of(item.line, next, first);
  return std::vector<Insertion>{
      below_line(file.source.text, lines, last, entry_text(thing, style))};
}

Result<std::vector<Insertion>> cure_insertions(const NewThing& thing, const ParsedFile& file) {
  const std::string what = "'cures' of repair '" + thing.id + "' is written";
  const std::string& text = file.source.text;
  const Lines lines(text);
  const YamlNode* repair = file.tree->find(thing.id);
  const YamlNode* cures = repair ? repair->find("cures") : nullptr;
  const YamlNode* added = thing.fields.find("cures");
  if (!cures || !added) return by_hand(file, what);
  const bool is_list = cures->kind == YamlNode::Kind::sequence;
  if (is_list && cures->items.empty()) return by_hand(file, what);
  const YamlNode& last = is_list ? cures->items.back() : *cures;
  const std::size_t begin = lines.byte(last.line, last.column);
  const std::size_t quotes = text[begin] == '"' || text[begin] == '\'' ? 1 : 0;
  const std::size_t end = begin + last.scalar.size() + 2 * quotes;
  if (text.compare(begin + quotes, last.scalar.size(), last.scalar) != 0)
    return by_hand(file, what);
  if (!is_list)
    return std::vector<Insertion>{{{}, begin, "["}, {{}, end, ", " + added->scalar + "]"}};
  const int first = lines.first_column(last.line);
  if (text[lines.byte(last.line, first)] == '-' && first < last.column) {
    const std::string dash = text.substr(lines.begin(last.line), begin - lines.begin(last.line));
    return std::vector<Insertion>{below_line(text, lines, last.line, dash + added->scalar + "\n")};
  }
  return std::vector<Insertion>{{{}, end, ", " + added->scalar}};
}

}  // namespace perrev
