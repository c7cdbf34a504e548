#include <filesystem>
#include <future>
#include <iostream>
#include <memory>

#include "engine/knowledge/rule_bytes.h"
#include "engine/quantity/text.h"
#include "src/commands/common.h"
#include "src/commands/store_patience.h"
#include "src/drawing_answer.h"
#include "src/rules.h"
#include "src/saves.h"
#include "src/server/addresses.h"
#include "src/server/request.h"
#include "src/server/server.h"

namespace perrev {

namespace {

constexpr std::uint16_t kUsualPort = 8640;  // a fixed one: browsers keep a page's data by address

struct ServeOptions {
  ServerOptions server;
  std::string store;
  std::string rules;
  std::string units = "us";
};

Result<Rules, Problems> rules_of(const std::string& folder) {
  const auto files = parsed_rules(folder);
  if (!files) return files.error();
  auto base = build_rule_base(*files);
  if (!base) return base.error();
  std::string bytes = rule_bytes(*files, *base);
  return Rules(std::make_shared<const RuleSet>(
      std::move(base).value(), std::vector<NamedAnswer>{{"drawing", drawing_answer}},
      std::move(bytes)));
}

// Pages are told it, and it is nothing to them where the folder is.
Problems named_within(std::string folder, Problems problems) {
  while (folder.size() > 1 && folder.back() == '/') folder.pop_back();
  for (Problem& one : problems)
    if (one.place.file == folder || one.place.file == folder + "/")
      one.place.file = "the rule base";
    else if (one.place.file.rfind(folder + "/", 0) == 0)
      one.place.file.erase(0, folder.size() + 1);
  return problems;
}

Exit run(ServeOptions& options) {
  if (options.server.certificate_file.empty() != options.server.key_file.empty())
    return tell(problem("--cert and --key-file belong together", "both or neither"));
  const bool has_lan_options =
      !options.server.certificate_file.empty() || !options.server.name.empty();
  if (!options.server.lan && has_lan_options)
    return tell(problem("--cert, --key-file and --name are for --lan", "--lan besides"));
  if (!options.server.name.empty() && !is_host_name(lower_case(options.server.name)))
    return tell(problem("--name: this is no name of a host", "letters, digits, dashes and dots"));
  const std::string folder = rules_folder(options.rules);
  Saves saves({folder});  // before anything is read, so that no change is missed
  auto first = rules_of(folder);
  if (!first) return tell(first.error());
  const std::string path = options.store.empty() ? default_store() : options.store;
  if (path.empty()) return tell(problem("no home folder is set", "--store FILE"));
  const auto store = Store::open(path, Store::Mode::create, told_patience());
  if (!store) return tell(store.error().problems);
  const auto looked_at = std::async(std::launch::async, [&] {
    if (const auto found = (*store)->check(Store::Index::without)) tell(*found);
  });
  RulesInUse rules(std::move(first).value());
  const auto saved = [&]() -> std::optional<Result<Rules, Problems>> {
    if (!saves.saved()) return std::nullopt;
    auto out = rules_of(folder);
    if (!saves.still()) return std::nullopt;  // read in the middle of something
    if (!out) return named_within(folder, out.error());
    return out;
  };
  const Problems problems = serve(options.server, rules, saved, **store,
                                  {PERREV_VERSION, options.units, options.server.lan});
  looked_at.wait();
  return problems.empty() ? Exit::done : tell(problems);
}

}  // namespace

void add_serve_command(CLI::App& app, Action& chosen) {
  CLI::App* command =
      app.add_subcommand("serve", "Serve the shop's cases to browsers on this machine");
  const auto options = std::make_shared<ServeOptions>();
  options->server.port = kUsualPort;
  command
      ->add_option("--store", options->store,
                   "the store's file; default: perrev/shop.db in the data folder")
      ->type_name("FILE");
  command->add_option("--port", options->server.port, "0: any that is free")->capture_default_str();
  command->add_option("--rules", options->rules, "folder of the rule base")->type_name("FOLDER");
  command->add_option("--units", options->units, "us or metric, as the page shows them first")
      ->check(CLI::IsMember({"us", "metric"}))
      ->capture_default_str();
  command->add_flag("--lan", options->server.lan,
                    "for all devices of the local network, by HTTPS and with a key");
  command->add_option("--cert", options->server.certificate_file, "PEM file, instead of our own")
      ->type_name("FILE");
  command->add_option("--key-file", options->server.key_file, "PEM file: the key of --cert")
      ->type_name("FILE");
  command->add_option("--name", options->server.name, "a further name of this machine");
  command->add_flag("--keep-key", options->server.keep_key, "the same key after the next start");
  command->add_flag("--open", options->server.open_page, "open the page in the browser");
  command->footer("Example: perrev serve --open");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
