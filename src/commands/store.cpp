// `perrev store`: the shop's cases out of their file, into it, copied, checked.
//
// JSON: export {written: [{case, file}]}; import {imported: [{file, case, added}]}, where `added`
// counts what was not there yet; backup {backup, cases}; check {ok, cases, last_seq, problems:
// [{file, pointer, what, right}]}.
#include "src/store/store.h"

#include <filesystem>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "engine/json_text.h"
#include "src/commands/common.h"
#include "src/commands/store_patience.h"
#include "src/files.h"
#include "src/store/case_import.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;
namespace fs = std::filesystem;

struct StoreOptions {
  std::string store;
  bool json = false;
  std::vector<std::string> names;  // cases or files
  std::string to;                  // folder of an export, file of a backup
  std::string as;
  bool keep_ids = false;
};

Stored<std::unique_ptr<Store>> opened(const StoreOptions& options, Store::Mode mode) {
  const std::string path = options.store.empty() ? default_store() : options.store;
  if (path.empty())
    return Refused{Refused::Kind::missing, {problem("no home folder is set", "--store FILE")}};
  return Store::open(path, mode, told_patience());
}

void print(const Json& json) { std::cout << indented_json(json) << "\n"; }

// Text of a person's file for one line.
std::string one_line(const std::string& text) {
  std::string out;
  for (const char c : text) out += static_cast<unsigned char>(c) < 0x20 || c == 0x7f ? '?' : c;
  return out;
}

// What is wrong with it is told; what can be read of it may still be wanted.
Exit told_damage(const Store& store) {
  const auto found = store.check(Store::Index::without);
  if (!found) return tell(found.error().problems);
  if (found->empty()) return Exit::done;
  tell(*found);
  return Exit::answer_is_no;
}

Exit export_to_folder(const Store& store, const StoreOptions& options,
                      const std::vector<std::string>& ids) {
  std::error_code failure;
  fs::create_directories(options.to, failure);
  if (failure)
    return tell(Problem{{options.to, 0, 0, {}},
                        "the folder cannot be made: " + failure.message(),
                        "a place that can be written",
                        {}});
  Json written = Json::array();
  for (const std::string& id : ids) {
    const auto document = store.case_text(id, Store::Photos::with);
    if (!document) return tell(document.error().problems);
    const std::string file = (fs::path(options.to) / (id + ".json")).string();
    if (const auto problems = write_file(file, document->text); !problems.empty())
      return tell(problems);
    written.push_back({{"case", id}, {"file", file}});
    if (!options.json) std::cout << one_line(file) << "\n";
  }
  if (options.json) print({{"written", written}});
  return Exit::done;
}

Exit exported(const Store& store, const StoreOptions& options) {
  if (!options.to.empty()) {
    if (!options.names.empty()) return export_to_folder(store, options, options.names);
    const auto ids = store.case_ids();
    return ids ? export_to_folder(store, options, *ids) : tell(ids.error().problems);
  }
  if (options.names.size() != 1)
    return tell(
        problem("without --to, one case is written to the output", "one CASE, or --to FOLDER"));
  const auto document = store.case_text(options.names.front(), Store::Photos::with);
  if (!document) return tell(document.error().problems);
  std::cout << document->text;
  return Exit::done;
}

Exit run_export(const StoreOptions& options) {
  const auto store = opened(options, Store::Mode::existing);
  if (!store) return tell(store.error().problems);
  const Exit damage = told_damage(**store);
  const Exit out = exported(**store, options);
  return out == Exit::done ? damage : out;
}

// The case that a file is to become; empty: made of its content.
Result<std::string> chosen_id(const StoreOptions& options, const std::string& file) {
  if (!options.keep_ids) return options.as;
  std::string stem = fs::path(file).stem().string();
  if (!is_case_id(stem))
    return Problem{{file, 0, 0, {}},
                   "the file is not named as a case",
                   "6 to 40 of a-z, 0-9 and -, as export names it; or no --keep-ids",
                   {}};
  return stem;
}

Stored<Imported> import_file(Store& store, const StoreOptions& options, const std::string& file) {
  const auto refuse = [](const Problem& p) { return Refused{Refused::Kind::invalid, {p}}; };
  const auto id = chosen_id(options, file);
  if (!id) return refuse(id.error());
  const auto text = read_file_or_input(file, kLargestCaseFile);
  if (!text) return refuse(text.error());
  Imported out;
  const auto refusal = store.change([&](Changes& changes) -> std::optional<Refused> {
    auto imported = import_case(changes, file == "-" ? "standard input" : file, *text, *id);
    if (!imported) return imported.error();
    out = std::move(imported).value();
    return std::nullopt;
  });
  if (refusal) return *refusal;
  return out;
}

std::string number_of(std::size_t count, const std::string& what) {
  return std::to_string(count) + " " + what + (count == 1 ? "" : "s");
}

std::string counted(std::size_t added) {
  return added == 0 ? "all of it was there" : number_of(added, "addition");
}

// Every file by itself: one that is refused keeps none of the others out.
Exit run_import(const StoreOptions& options) {
  if (options.names.size() > 1 && !options.as.empty())
    return tell(problem("--as names one case, and there are several files", "one FILE"));
  const auto store = opened(options, Store::Mode::create);
  if (!store) return tell(store.error().problems);
  Exit out = Exit::done;
  Json imported = Json::array();
  for (const std::string& file : options.names) {
    const auto one = import_file(**store, options, file);
    if (!one) {
      tell(one.error().problems);
      const bool conflict = one.error().kind == Refused::Kind::conflict;
      if (!conflict || out == Exit::bad_input)
        out = Exit::bad_input;
      else
        out = Exit::answer_is_no;
      continue;
    }
    imported.push_back({{"file", file}, {"case", one->case_id}, {"added", one->fresh}});
    if (!options.json)
      std::cout << one_line(file) << ": case " << one->case_id << ", " << counted(one->fresh)
                << "\n";
  }
  if (options.json) print({{"imported", imported}});
  return out;
}

Exit run_backup(const StoreOptions& options) {
  const auto store = opened(options, Store::Mode::existing);
  if (!store) return tell(store.error().problems);
  if (const auto failure = (*store)->backup(options.to)) return tell(failure->problems);
  const auto copy = Store::open(options.to, Store::Mode::reading);
  if (!copy) return tell(copy.error().problems);
  const auto ids = (*copy)->case_ids();
  if (!ids) return tell(ids.error().problems);
  if (options.json)
    print({{"backup", options.to}, {"cases", ids->size()}});
  else
    std::cout << one_line(options.to) << ": " << number_of(ids->size(), "case") << "\n";
  return Exit::done;
}

Exit run_check(const StoreOptions& options) {
  const auto store = opened(options, Store::Mode::existing);
  if (!store) return tell(store.error().problems);
  const auto found = (*store)->check();
  if (!found) return tell(found.error().problems);
  const auto ids = (*store)->case_ids();
  const auto last = (*store)->last_seq();
  if (!ids || !last) return tell(ids ? last.error().problems : ids.error().problems);
  const bool ok = found->empty();
  if (options.json) {
    Json problems = Json::array();
    for (const Problem& p : *found)
      problems.push_back({{"file", p.place.file},
                          {"pointer", p.place.pointer},
                          {"what", p.what},
                          {"right", p.right}});
    print({{"ok", ok}, {"cases", ids->size()}, {"last_seq", *last}, {"problems", problems}});
  } else {
    tell(*found);
    if (ok)
      std::cout << "sound: " << number_of(ids->size(), "case") << ", "
                << number_of(static_cast<std::size_t>(*last), "addition") << "\n";
  }
  return ok ? Exit::done : Exit::answer_is_no;
}

CLI::App* add_part(CLI::App& store, const std::shared_ptr<StoreOptions>& options, Action& chosen,
                   const char* name, const char* what, Exit (*run)(const StoreOptions&)) {
  CLI::App* command = store.add_subcommand(name, what);
  command
      ->add_option("--store", options->store,
                   "the store's file; default: perrev/shop.db in the data folder")
      ->type_name("FILE");
  command->add_flag("--json", options->json, "print JSON");
  command->callback([&chosen, options, run] { chosen = [options, run] { return run(*options); }; });
  return command;
}

}  // namespace

void add_store_command(CLI::App& app, Action& chosen) {
  CLI::App* store = app.add_subcommand("store", "The shop's cases: export, import, backup, check");
  store->require_subcommand(1);
  const auto options = std::make_shared<StoreOptions>();
  CLI::App* out = add_part(*store, options, chosen, "export", "Write cases as files", run_export);
  out->add_option("CASE", options->names, "which cases; with --to, all where none is named");
  out->add_option("--to", options->to, "a folder: one file a case, named by the case's id")
      ->type_name("FOLDER");
  out->footer("Example: perrev store export --to cases-of-may");
  CLI::App* in = add_part(*store, options, chosen, "import", "Take in case files", run_import);
  in->add_option("FILE", options->names, "case files; - is the input")
      ->type_name("FILE")
      ->required();
  CLI::Option* as = in->add_option("--as", options->as, "the case's id in the store");
  in->add_flag("--keep-ids", options->keep_ids, "the file's name is the id, as export wrote it")
      ->excludes(as);
  in->footer("Example: perrev store import cases-of-may/*.json --keep-ids");
  CLI::App* copy = add_part(*store, options, chosen, "backup", "Copy the store", run_backup);
  copy->add_option("TO", options->to, "a new file")->type_name("FILE")->required();
  copy->footer("Example: perrev store backup shop-2026-05-04.db");
  CLI::App* check = add_part(*store, options, chosen, "check", "Check the store", run_check);
  check->footer("Ends with 1 where something is wrong.\nExample: perrev store check");
}

}  // namespace perrev
