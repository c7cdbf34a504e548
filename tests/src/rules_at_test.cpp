// Rule bases by name: folders, and revisions of a git repository made for the test.
#include "src/rules_at.h"

#include <doctest/doctest.h>
#include <git2.h>

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include "tests/src/run_perrev.h"

using namespace perrev;
using namespace perrev::test;
namespace fs = std::filesystem;

namespace {

// A repository with everything committed that stands in its folder.
class Repository {
 public:
  explicit Repository(const std::string& folder) {
    git_libgit2_init();
    REQUIRE(git_repository_init(&repository_, folder.c_str(), 0) == 0);
  }
  ~Repository() {
    git_repository_free(repository_);
    git_libgit2_shutdown();
  }
  Repository(const Repository&) = delete;
  Repository& operator=(const Repository&) = delete;

  std::string commit(const std::string& tag) {
    git_index* index = nullptr;
    REQUIRE(git_repository_index(&index, repository_) == 0);
    REQUIRE(git_index_add_all(index, nullptr, 0, nullptr, nullptr) == 0);
    REQUIRE(git_index_update_all(index, nullptr, nullptr, nullptr) == 0);
    REQUIRE(git_index_write(index) == 0);
    git_oid tree_id;
    REQUIRE(git_index_write_tree(&tree_id, index) == 0);
    git_index_free(index);
    return commit(tag, tree_id);
  }

  // A tree made by hand, whatever stands in the folder.
  std::string commit(const std::string& tag, const git_oid& tree_id) {
    git_oid id;
    git_tree* tree = nullptr;
    REQUIRE(git_tree_lookup(&tree, repository_, &tree_id) == 0);
    git_signature* who = nullptr;
    REQUIRE(git_signature_new(&who, "trainer", "trainer@example.org", 1, 0) == 0);
    git_oid parent_id;
    git_commit* parent = nullptr;
    if (git_reference_name_to_id(&parent_id, repository_, "HEAD") == 0)
      REQUIRE(git_commit_lookup(&parent, repository_, &parent_id) == 0);
    const git_commit* parents[] = {parent};
    REQUIRE(git_commit_create(&id, repository_, "HEAD", who, who, nullptr, "changed", tree,
                              parent ? 1 : 0, parents) == 0);
    git_object* object = nullptr;
    REQUIRE(git_object_lookup(&object, repository_, &id, GIT_OBJECT_COMMIT) == 0);
    git_oid tag_id;
    REQUIRE(git_tag_create(&tag_id, repository_, tag.c_str(), object, who, "a tag", 0) == 0);
    git_object_free(object);
    git_commit_free(parent);
    git_signature_free(who);
    git_tree_free(tree);
    char hex[GIT_OID_HEXSZ + 1];
    return git_oid_tostr(hex, sizeof hex, &id);
  }

  git_oid blob(const std::string& text) {
    git_oid id;
    REQUIRE(git_blob_create_from_buffer(&id, repository_, text.data(), text.size()) == 0);
    return id;
  }

  // A tree that holds one thing by many names: "0" and the ending, "1" and the ending.
  git_oid many(int count, const std::string& ending, const git_oid& of, git_filemode_t mode) {
    git_treebuilder* made = nullptr;
    REQUIRE(git_treebuilder_new(&made, repository_, nullptr) == 0);
    for (int i = 0; i < count; ++i) {
      const std::string name = std::to_string(i) + ending;
      REQUIRE(git_treebuilder_insert(nullptr, made, name.c_str(), &of, mode) == 0);
    }
    git_oid id;
    REQUIRE(git_treebuilder_write(&id, made) == 0);
    git_treebuilder_free(made);
    return id;
  }

 private:
  git_repository* repository_ = nullptr;
};

std::vector<std::string> texts(const RulesAt& at) {
  std::vector<std::string> out;
  for (const SourceFile& file : at.files) out.push_back(file.name + "=" + file.text);
  std::sort(out.begin(), out.end());
  return out;
}

using Texts = std::vector<std::string>;

std::string first_problem(const std::string& name, const std::string& folder) {
  const auto at = rules_at(name, folder);
  REQUIRE(!at.ok());
  return at.error().front().text();
}

bool contains(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("a revision gives what was committed, whatever stands in the folder now") {
  const Folder folder;
  Repository repository(folder.path(""));
  const std::string rules = folder.path("shop/rules");
  folder.write("shop/rules/facts.yaml", "one");
  folder.write("shop/rules/causes/wheel.yaml", "two");
  folder.write("shop/rules/schema/facts.yaml", "no rule file");
  folder.write("shop/rules/notes.txt", "no rule file");
  folder.write("other/facts.yaml", "three");
  const std::string first = repository.commit("v1");
  folder.write("shop/rules/facts.yaml", "four");
  fs::remove_all(folder.path("shop/rules/causes"));
  const std::string second = repository.commit("v2");
  folder.write("shop/rules/facts.yaml", "five");

  const Texts was = {"causes/wheel.yaml=two", "facts.yaml=one"}, is = {"facts.yaml=four"};
  for (const std::string& name :
       {std::string("v1"), std::string("HEAD~1"), std::string("HEAD^"), first, first.substr(0, 8),
        std::string("v1:shop/rules"), std::string("v1:./shop/rules/")}) {
    CAPTURE(name);
    const auto at = rules_at(name, rules);
    REQUIRE(at.ok());
    CHECK(texts(*at) == was);
    CHECK(at->commit == first);
    CHECK(at->name == name);
  }
  CHECK(texts(rules_at("HEAD", rules).value()) == is);
  CHECK(rules_at("HEAD", rules)->commit == second);
  CHECK(texts(rules_at("HEAD:other", rules).value()) == Texts{"facts.yaml=three"});
  CHECK(rules_at("HEAD", rules)->files[0].shown == "HEAD:shop/rules/facts.yaml");
  // Nothing was touched.
  CHECK(folder.read("shop/rules/facts.yaml") == "five");
  CHECK(!folder.has("shop/rules/causes"));

  // A folder wins over a revision of that name.
  const fs::path here = fs::current_path();
  fs::current_path(folder.path(""));
  folder.write("v1/facts.yaml", "six");
  CHECK(texts(rules_at("v1", rules).value()) == Texts{"facts.yaml=six"});
  CHECK(rules_at("v1", rules)->commit.empty());
  fs::current_path(here);
}

TEST_CASE("what names no rule base is told plainly, whatever it is") {
  const Folder folder;
  const std::string rules = folder.path("rules");
  folder.write("rules/facts.yaml", "one");
  CHECK(contains(first_problem("HEAD", rules), "\"HEAD\" is no folder, and "));
  CHECK(contains(first_problem("HEAD", rules), " is in no git repository"));
  Repository repository(folder.path(""));
  CHECK(contains(first_problem("HEAD", rules), "is no folder, and no revision"));  // no commit yet
  fs::create_symlink("facts.yaml", folder.path("rules/strengths.yaml"));
  folder.write("linked/facts.yaml", "one");
  fs::create_symlink("facts.yaml", folder.path("linked/shop.yaml"));
  folder.write("large/facts.yaml", std::string((std::size_t{8} << 20) + 1, 'a'));
  folder.write("named/facts.yml", "one");
  folder.write("empty/notes.txt", "one");
  repository.commit("v1");
  for (const char* name : {"--upload-pack",
                           "--upload-pack=true",
                           "-",
                           "HEAD~9",
                           "v2",
                           "@{u}",
                           "HEAD^{tree}",
                           "HEAD^{/",
                           "refs/heads/../../x",
                           ":rules",
                           ":/changed",
                           "a..b",
                           "v1...v1",
                           "$(id)",
                           "ext::sh -c id",
                           "\x1b[2Jx",
                           "\xff\xfe",
                           "HEAD\n",
                           "/nowhere",
                           "rules/facts.yaml"}) {
    CAPTURE(name);
    const std::string told = first_problem(name, rules);
    CHECK((contains(told, " is no folder, and ") || contains(told, "is no commit")));
    CHECK(!contains(told, "\x1b"));
  }
  for (const char* name : {"HEAD:nowhere", "HEAD:../rules", "HEAD:/rules", "HEAD:rules/facts.yaml",
                           "HEAD:rules/../..", "HEAD:.git"}) {
    CAPTURE(name);
    CHECK(contains(first_problem(name, rules), "\"HEAD\" has no folder "));
  }
  CHECK(contains(first_problem("", rules), "is no name"));
  CHECK(contains(first_problem(std::string("HEAD\0x", 6), rules), "is no name"));
  CHECK(contains(first_problem("HEAD", rules), "rules/strengths.yaml: error: is a link"));
  CHECK(contains(first_problem("v1:linked", rules), "links of a revision are not followed"));
  CHECK(contains(first_problem("v1:large", rules), "is larger than 8 MiB"));
  CHECK(contains(first_problem("v1:named", rules), "a rule file ends in .yaml"));
  CHECK(contains(first_problem("v1:empty", rules), "has no rule files"));
}

TEST_CASE("a tree that holds itself many times over is told, and not read to its end") {
  const Folder folder;
  folder.write("facts.yaml", "one");
  Repository repository(folder.path(""));
  const auto nested = [&](int deep, int wide) {
    git_oid tree = repository.many(wide, ".yaml", repository.blob("one"), GIT_FILEMODE_BLOB);
    for (int i = 0; i < deep; ++i) tree = repository.many(wide, "", tree, GIT_FILEMODE_TREE);
    return tree;
  };
  const auto problems = [&](const char* tag, const git_oid& tree) {
    repository.commit(tag, tree);
    const auto at = rules_at(std::string(tag) + ":", folder.path(""));
    REQUIRE(!at.ok());
    CHECK(at.error().size() == 1);
    return at.error().front().text();
  };
  CHECK(contains(problems("deep", nested(50, 10)), "stands more than 8 folders deep"));
  CHECK(contains(problems("wide", nested(8, 10)), "is beyond the first 10000 files and folders"));
  const git_oid large = repository.blob(std::string(std::size_t{8} << 20, 'a'));
  CHECK(contains(problems("large", repository.many(9, ".yaml", large, GIT_FILEMODE_BLOB)),
                 "8.yaml: error: is beyond the first 64 MiB of rule files"));
  repository.commit("fits", nested(8, 2));
  const auto fits = rules_at("fits:", folder.path(""));
  REQUIRE(fits.ok());
  CHECK(fits->files.size() == 512);
}

TEST_CASE("the command compares with a commit, and names the one that does not load") {
  const Folder folder;
  fs::copy(project("rules"), folder.path("rules"), fs::copy_options::recursive);
  fs::create_directories(folder.path("cases"));
  fs::copy(project("cases/shakes_at_sixty_two.json"), folder.path("cases"));
  Repository repository(folder.path(""));
  repository.commit("v1");
  const std::string families = folder.read("rules/families.yaml");
  folder.write("rules/families.yaml", families + "spare: {name: Spare things}\n");
  const std::vector<std::string> more = {"--rules", folder.path("rules"), "--complaints", "0"};
  const auto run = [&](std::vector<std::string> names) {
    names.insert(names.begin(), {"rules", "diff"});
    names.insert(names.end(), more.begin(), more.end());
    return run_perrev(names);
  };
  const Ran ran = run({"HEAD"});
  CHECK(ran.code == 0);
  CHECK(contains(ran.out, "From HEAD ("));
  CHECK(contains(ran.out, "  added    family spare: Spare things\n"));
  CHECK(contains(ran.out, "Reference cases: 0 of 1 come out differently; 1 the same\n"));

  folder.write("rules/families.yaml", families + "tier: {nmae: Tier}\n");
  repository.commit("v2");
  folder.write("rules/families.yaml", families);
  const Ran broken = run({"v2"});
  CHECK(broken.code == 2);
  CHECK(broken.out.empty());
  CHECK(contains(broken.err, "error: the rule base \"v2\" does not load"));
  CHECK(contains(broken.err, "v2:rules/families.yaml:"));
  CHECK(run({"v1", "v2"}).code == 2);
  CHECK(run({"v1", "HEAD~1"}).code == 0);
  CHECK(run({}).code == 2);
}
