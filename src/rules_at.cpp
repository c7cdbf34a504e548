#include "src/rules_at.h"

#include <git2.h>

#include <filesystem>
#include <memory>

#include "engine/quantity/text.h"
#include "src/rules.h"

namespace perrev {

namespace fs = std::filesystem;

namespace {

template <class T>
using Owned = std::unique_ptr<T, void (*)(T*)>;

struct Git {
  Git() { git_libgit2_init(); }
  ~Git() { git_libgit2_shutdown(); }
  Git(const Git&) = delete;
  Git& operator=(const Git&) = delete;
};

std::string last_words() {
  const git_error* error = git_error_last();
  return error && error->message ? error->message : "git says nothing more";
}

bool ends_with(const std::string& text, const std::string& end) {
  return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0;
}

// A tree may hold itself many times over in few bytes: more than any rule base has is not read.
constexpr int kDeepestFolder = 8;
constexpr std::size_t kMostEntries = 10000;
constexpr std::size_t kMostBytes = 64u << 20;

// The blobs below a tree that are rule files.
class TreeReader {
 public:
  // `shown` is what the names of files follow in problems.
  TreeReader(git_repository* repository, std::string shown)
      : repository_(repository), shown_(std::move(shown)) {}

  void read(const git_tree* tree, const std::string& below, int depth) {
    for (std::size_t i = 0; i < git_tree_entrycount(tree) && !stopped_; ++i) {
      const git_tree_entry* entry = git_tree_entry_byindex(tree, i);
      const std::string name = below + git_tree_entry_name(entry);
      if (++entries_ > kMostEntries) {
        stop(name, "is beyond the first " + std::to_string(kMostEntries) + " files and folders",
             "a folder that holds a rule base and little else");
      } else if (git_tree_entry_type(entry) == GIT_OBJECT_TREE) {
        if (name != "schema") folder(entry, name, depth);
      } else if (ends_with(name, ".yml")) {
        fault(name, "a rule file ends in .yaml", "another name");
      } else if (ends_with(name, ".yaml")) {
        file(entry, name);
      }
    }
  }

  std::vector<SourceFile> files;
  Problems problems;

 private:
  void fault(const std::string& name, std::string what, std::string right) {
    problems.push_back({{shown_ + name, 0, 0, {}}, std::move(what), std::move(right), {}});
  }

  // Of what is no rule base this alone is told.
  void stop(const std::string& name, std::string what, std::string right) {
    problems.clear();
    fault(name, std::move(what), std::move(right));
    stopped_ = true;
  }

  void folder(const git_tree_entry* entry, const std::string& name, int depth) {
    if (depth >= kDeepestFolder)
      return stop(name, "stands more than " + std::to_string(kDeepestFolder) + " folders deep",
                  "a folder that holds a rule base, with its causes/ and evidence/");
    git_tree* found = nullptr;
    if (git_tree_lookup(&found, repository_, git_tree_entry_id(entry)) != 0)
      return fault(name, "cannot be read: " + last_words(), "a repository that is whole");
    const Owned<git_tree> tree(found, git_tree_free);
    read(tree.get(), name + "/", depth + 1);
  }

  void file(const git_tree_entry* entry, const std::string& name) {
    if (git_tree_entry_filemode(entry) == GIT_FILEMODE_LINK)
      return fault(name, "is a link, and links of a revision are not followed", "a file");
    if (git_tree_entry_type(entry) != GIT_OBJECT_BLOB)
      return fault(name, "is no file", "a file, or another name");
    const std::size_t size = size_of(git_tree_entry_id(entry));
    if (size > kLargestText)
      return fault(name, "is larger than " + std::to_string(kLargestText >> 20) + " MiB",
                   "a smaller file");
    bytes_ += size;
    if (bytes_ > kMostBytes)
      return stop(name,
                  "is beyond the first " + std::to_string(kMostBytes >> 20) + " MiB of rule files",
                  "a folder that holds one rule base");
    git_blob* found = nullptr;
    if (git_blob_lookup(&found, repository_, git_tree_entry_id(entry)) != 0)
      return fault(name, "cannot be read: " + last_words(), "a repository that is whole");
    const Owned<git_blob> blob(found, git_blob_free);
    files.push_back({name, shown_ + name,
                     std::string(static_cast<const char*>(git_blob_rawcontent(blob.get())),
                                 static_cast<std::size_t>(git_blob_rawsize(blob.get())))});
  }

  // Before it is unpacked; 0 where that is not known, and reading it will say why.
  std::size_t size_of(const git_oid* id) const {
    git_odb* found = nullptr;
    if (git_repository_odb(&found, repository_) != 0) return 0;
    const Owned<git_odb> odb(found, git_odb_free);
    std::size_t size = 0;
    git_object_t type = GIT_OBJECT_INVALID;
    return git_odb_read_header(&size, &type, odb.get(), id) == 0 ? size : 0;
  }

  git_repository* repository_;
  std::string shown_;
  std::size_t entries_ = 0, bytes_ = 0;
  bool stopped_ = false;
};

// Where the folder stands, from the top of the working tree; empty: it is the top.
Result<std::string> place_in(git_repository* repository, const std::string& folder) {
  const char* top = git_repository_workdir(repository);
  std::error_code unknown;
  const fs::path place = top ? fs::weakly_canonical(folder, unknown)
                                   .lexically_relative(fs::weakly_canonical(top, unknown))
                             : fs::path();
  if (place.empty() || *place.begin() == "..")
    return problem("where " + folder + " stands in its repository is not known", "REV:FOLDER");
  return place == "." ? std::string() : place.generic_string();
}

class Revision {
 public:
  Revision(std::string name, std::string folder)
      : name_(std::move(name)), folder_(std::move(folder)) {}

  Result<RulesAt, Problems> read() const {
    const std::size_t colon = name_.find(':');
    const std::string revision = name_.substr(0, colon);
    git_repository* opened = nullptr;
    const int open = git_repository_open_ext(&opened, folder_.c_str(), 0, nullptr);
    if (open == GIT_ENOTFOUND)
      return not_found("is no folder, and " + folder_ + " is in no git repository");
    if (open != 0)
      return not_found("is no folder, and the git repository of " + folder_ +
                       " cannot be opened: " + last_words());
    const Owned<git_repository> repository(opened, git_repository_free);
    git_object* named = nullptr;
    if (revision.empty() || git_revparse_single(&named, opened, revision.c_str()) != 0)
      return not_found("is no folder, and no revision of the git repository of " + folder_);
    const Owned<git_object> object(named, git_object_free);
    git_object* peeled = nullptr;
    if (git_object_peel(&peeled, named, GIT_OBJECT_COMMIT) != 0)
      return not_found("is no commit, nor does it name one");
    const Owned<git_object> commit(peeled, git_object_free);
    const auto place = colon == std::string::npos
                           ? place_in(opened, folder_)
                           : Result<std::string>(plain(name_.substr(colon + 1)));
    if (!place) return Problems{place.error()};
    return folder_of(opened, peeled, *place, revision);
  }

 private:
  Problems not_found(std::string what) const {
    return {problem(perrev::quoted(name_) + " " + std::move(what),
                    "a folder of a rule base, or a revision: HEAD, a tag, a branch, REV:FOLDER")};
  }

  // Without "./" before and "/" behind it.
  static std::string plain(const std::string& place) {
    const fs::path path = fs::path(place).lexically_normal();
    const std::string text = path.generic_string();
    if (text == ".") return {};
    return ends_with(text, "/") ? text.substr(0, text.size() - 1) : text;
  }

  Result<RulesAt, Problems> folder_of(git_repository* repository, git_object* commit,
                                      const std::string& place, const std::string& revision) const {
    git_object* found = nullptr;
    const int failed =
        place.empty() ? git_object_peel(&found, commit, GIT_OBJECT_TREE)
                      : git_object_lookup_bypath(&found, commit, place.c_str(), GIT_OBJECT_TREE);
    if (failed != 0)
      return Problems{problem(perrev::quoted(revision) + " has no folder " + perrev::quoted(place),
                              "REV:FOLDER, from the top of the repository")};
    const Owned<git_object> tree(found, git_object_free);
    TreeReader reader(repository, revision + ":" + (place.empty() ? "" : place + "/"));
    reader.read(reinterpret_cast<const git_tree*>(found), "", 0);
    if (!reader.problems.empty()) return std::move(reader.problems);
    if (reader.files.empty())
      return Problems{problem(
          perrev::quoted(revision) + " has no rule files in the folder " + perrev::quoted(place),
          "a folder with facts.yaml and the others")};
    char id[GIT_OID_HEXSZ + 1];
    git_oid_tostr(id, sizeof id, git_object_id(commit));
    return RulesAt{name_, id, std::move(reader.files)};
  }

  std::string name_, folder_;
};

}  // namespace

Result<RulesAt, Problems> rules_at(const std::string& name, const std::string& folder) {
  if (name.empty() || name.find('\0') != std::string::npos)
    return Problems{problem(perrev::quoted(name) + " is no name",
                            "a folder of a rule base, or a revision, as HEAD")};
  std::error_code unknown;
  if (fs::is_directory(name, unknown)) {
    auto files = rule_texts(name);
    if (!files) return files.error();
    return RulesAt{name, {}, std::move(files).value()};
  }
  const Git git;
  return Revision(name, folder).read();
}

}  // namespace perrev
