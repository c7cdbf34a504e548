#include "src/store/case_import.h"

#include <nlohmann/json.hpp>
#include <optional>
#include <utility>
#include <vector>

#include "engine/casefile/casefile.h"
#include "engine/json_text.h"
#include "engine/quantity/text.h"
#include "src/store/case_json.h"
#include "src/store/digest.h"
#include "src/store/photo_bytes.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;
using Kind = Refused::Kind;

// A file as the pieces that a store takes.
struct Pieces {
  std::string head;
  std::vector<std::string> entries;
  std::vector<Photo> photos;
};

Refused photo_refused(const std::string& sha256, std::string what, std::string right) {
  Refused out = refused(Kind::invalid, std::move(what), std::move(right));
  // The key may be anything; a digest is told whole.
  out.problems.front().what += " (" + perrev::quoted(sha256) + ")";
  out.problems.front().place.pointer = "/photos";
  return out;
}

Stored<Photo> read_photo(const std::string& sha256, const Json& json) {
  const bool is_whole = json.is_object() && json.size() == 2 && json.contains("type") &&
                        json.contains("data") && json["type"].is_string() &&
                        json["data"].is_string();
  if (!is_whole)
    return photo_refused(sha256, "this is no photo",
                         "{\"type\": \"image/jpeg\", \"data\": \"...\"}");
  auto bytes = from_base64(json["data"].get<std::string>());
  if (!bytes) return photo_refused(sha256, "the photo's data is not base64", "RFC 4648, padded");
  if (sha256_hex(*bytes) != sha256)
    return photo_refused(sha256, "the photo is not the one that its digest names",
                         "the SHA-256 of its bytes");
  return Photo{json["type"].get<std::string>(), *std::move(bytes)};
}

Stored<Pieces> pieces_of(Json document) {
  Pieces out;
  for (const Json& entry : document["entries"]) out.entries.push_back(compact_json(entry));
  document["entries"] = Json::array();
  if (const auto photos = document.find("photos"); photos != document.end()) {
    if (!photos->is_object())
      return photo_refused("photos", "this is no photo", "photos by their SHA-256");
    for (const auto& item : photos->items()) {
      auto photo = read_photo(item.key(), item.value());
      if (!photo) return photo.error();
      out.photos.push_back(std::move(photo).value());
    }
    *photos = Json::object();
  }
  out.head = compact_json(document);
  return out;
}

std::string made_id(const CaseFile& file, const Pieces& pieces) {
  const std::string& first = pieces.entries.empty() ? pieces.head : pieces.entries.front();
  constexpr std::size_t kLength = 20;  // 80 bits
  // A length before it, so that no two pairs run together.
  const std::string& label = file.label();
  return sha256_hex(std::to_string(label.size()) + ":" + label + first).substr(0, kLength);
}

Stored<Added> add_head(Changes& changes, const std::string& id, const std::string& head) {
  auto added = changes.add_case(id, head);
  if (added || added.error().kind != Kind::conflict) return added;
  return changes.add_keys(id, head);
}

Refused at_file(const std::string& shown, Refused refusal) {
  for (Problem& p : refusal.problems) p.place.file = shown;
  return refusal;
}

Stored<Imported> add_pieces(Changes& changes, const Pieces& pieces, const std::string& id) {
  const auto head = add_head(changes, id, pieces.head);
  if (!head) return head.error();
  for (const Photo& photo : pieces.photos)
    if (const auto sha256 = changes.add_photo(id, photo.bytes, photo.type); !sha256)
      return sha256.error();
  const auto entries = changes.add_entries(id, pieces.entries);
  if (!entries) return entries.error();
  return Imported{id, head->fresh + entries->fresh};
}

}  // namespace

Stored<Imported> import_case(Changes& changes, const std::string& shown, const std::string& text,
                             const std::string& case_id) {
  const auto file = CaseFile::parse(shown, text);
  if (!file) return Refused{Kind::invalid, file.error()};
  if (auto lost = lost_digits(text)) return at_file(shown, *std::move(lost));
  const auto pieces = pieces_of(Json::parse(text, nullptr, false));
  if (!pieces) return at_file(shown, pieces.error());
  const std::string id = case_id.empty() ? made_id(*file, *pieces) : case_id;
  auto imported = add_pieces(changes, *pieces, id);
  if (!imported) return at_file(shown, imported.error());
  return imported;
}

}  // namespace perrev
