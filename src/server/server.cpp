#include "src/server/asio.h"
// The one above must come first.
#include <sys/resource.h>
#include <unistd.h>

#include <boost/asio/post.hpp>
#include <boost/asio/signal_set.hpp>
#include <boost/asio/steady_timer.hpp>
#include <chrono>
#include <csignal>
#include <exception>
#include <iostream>
#include <optional>
#include <thread>

#include "engine/quantity/text.h"
#include "src/server/addresses.h"
#include "src/server/announce.h"
#include "src/server/certificates.h"
#include "src/server/door.h"
#include "src/server/listening.h"
#include "src/server/private_files.h"
#include "src/server/secret.h"
#include "src/server/server.h"

namespace perrev {

namespace {

namespace asio = boost::asio;
using Socket = asio::ip::tcp::socket;
using Error = boost::system::error_code;

constexpr auto kLook = std::chrono::milliseconds(500);  // for what other processes add
constexpr int kLooksPerBeat = 30;
constexpr auto kLastAnswers = std::chrono::seconds(5);
constexpr auto kAfterNoDescriptor = std::chrono::milliseconds(100);
constexpr int kUnansweredMost = 60000;  // milliseconds that a peer may leave sent bytes unconfirmed

void prepare(Socket& socket) {
  Error ignored;
  socket.set_option(asio::ip::tcp::no_delay(true), ignored);
  socket.set_option(
      asio::detail::socket_option::integer<IPPROTO_TCP, TCP_USER_TIMEOUT>(kUnansweredMost),
      ignored);
}

// How many connections the files that the system lets this program open are enough for, once the
// store and all else have theirs. As many files are asked for as may be had.
Result<std::size_t, Problems> connections_for(std::size_t threads) {
  constexpr std::size_t kFewest = 16, kOthers = 32, kOfThread = 3;
  const std::size_t others = kOthers + kOfThread * threads;
  rlimit files{};
  if (::getrlimit(RLIMIT_NOFILE, &files) != 0) return Door::kMostConnections;
  files.rlim_cur =
      std::max(files.rlim_cur, std::min<rlim_t>(files.rlim_max, Door::kMostConnections + others));
  if (::setrlimit(RLIMIT_NOFILE, &files) != 0) ::getrlimit(RLIMIT_NOFILE, &files);
  if (files.rlim_cur < others + kFewest)
    return Problems{problem("the system lets this program open no more than " +
                                std::to_string(files.rlim_cur) + " files",
                            "at least " + std::to_string(others + kFewest) + ", as by ulimit -n")};
  return std::min(Door::kMostConnections, static_cast<std::size_t>(files.rlim_cur) - others);
}

// What only a server on a local network has.
struct Lan {
  std::string key;
  Certificates certificates;
  std::optional<asio::ssl::context> tls;
};

Problems prepare_tls(Lan& lan) {
  lan.tls.emplace(asio::ssl::context::tls_server);
  Error error;
  lan.tls->set_options(asio::ssl::context::default_workarounds | asio::ssl::context::no_sslv2 |
                           asio::ssl::context::no_sslv3 | asio::ssl::context::no_tlsv1 |
                           asio::ssl::context::no_tlsv1_1,
                       error);
  SSL_CTX_set_min_proto_version(lan.tls->native_handle(), TLS1_2_VERSION);
  const auto use = [](const std::string& pem) { return asio::buffer(pem); };
  if (!error) lan.tls->use_certificate_chain(use(lan.certificates.chain_pem), error);
  if (!error)
    lan.tls->use_private_key(use(lan.certificates.key_pem), asio::ssl::context::pem, error);
  if (error) return {problem("the certificate cannot be used: " + error.message())};
  return {};
}

// The kept key, or a new one.
Result<std::string, Problems> key_for(const std::string& file, bool keep) {
  constexpr std::size_t kBytes = 16, kLetters = 26;
  if (keep)
    if (auto kept = read_private(file); kept && kept->size() == kLetters) return *kept;
  std::string key = random_word(kBytes);
  if (key.empty()) return Problems{problem("the system has no random numbers")};
  if (keep && !write_private(file, key))
    return Problems{problem("the key cannot be kept in " + file, "a folder that can be written")};
  return key;
}

std::vector<std::string> names_of_this(const ServerOptions& options) {
  const std::string host = host_name();
  std::vector<std::string> names = {host};
  if (host != "localhost") names.insert(names.end(), {host + ".local", "localhost"});
  if (!options.name.empty()) names.push_back(lower_case(options.name));
  return names;
}

// First what every device reaches: the names of a local network are not known to all of them.
std::vector<std::string> shown_on_lan(const ServerOptions& options) {
  std::vector<std::string> shown;
  if (!options.name.empty()) shown.push_back(lower_case(options.name));
  for (const std::string& one : lan_addresses())
    if (one.find(':') == std::string::npos) shown.push_back(one);
  const std::string host = host_name();
  if (host != "localhost") shown.insert(shown.end(), {host + ".local", host});
  if (shown.empty()) shown = {"localhost"};
  return shown;
}

class Server {
 public:
  Server(const ServerOptions& options, RulesInUse& rules, const SavedRules& saved, Store& store,
         About about)
      : options_(options),
        rules_(rules),
        saved_(saved),
        store_(store),
        quick_(std::max(2u, std::thread::hardware_concurrency())),
        slow_(std::max(2u, std::thread::hardware_concurrency())),
        hub_(store, [this](std::function<void()> what) { asio::post(sockets_, std::move(what)); }),
        writer_(store, [this](std::int64_t) { asio::post(sockets_, [this] { hub_.look(); }); }),
        api_(rules, store, writer_, quick_, access_, std::move(about)) {}

  Problems run();

 private:
  Problems prepare_lan();
  void announce(const std::vector<std::string>& addresses);
  void accept(asio::ip::tcp::acceptor& from);
  void tick();
  void look_at_rules();
  void stop();
  void wait_for_the_last();

  const ServerOptions& options_;
  RulesInUse& rules_;
  const SavedRules& saved_;
  Store& store_;
  std::optional<Door> door_;  // outlives the connections, which sockets_ holds
  asio::io_context sockets_{1};
  Access access_;
  Workers quick_, slow_;
  EventHub hub_;
  Writer writer_;
  Api api_;
  Lan lan_;
  Reached reached_;
  std::optional<Service> service_;
  Listening listening_;
  asio::steady_timer ticking_{sockets_}, ending_{sockets_};
  int ticks_ = 0;
  bool looking_at_rules_ = false;
  std::chrono::steady_clock::time_point end_by_;
  Workers rule_reader_{1};  // last: ends before what it uses
};

Problems Server::prepare_lan() {
  const std::string folder = store_.path() + "-lan";
  auto key = key_for(folder + "/key", options_.keep_key);
  if (!key) return key.error();
  lan_.key = *key;
  access_ = Access(lan_.key);
  std::vector<std::string> addresses = lan_addresses();
  reached_.tls = true;
  reached_.hosts = names_of_this(options_);
  addresses.insert(addresses.end(), {"127.0.0.1", "::1"});
  for (const std::string& one : addresses)
    reached_.hosts.push_back(one.find(':') == std::string::npos ? one : "[" + one + "]");
  auto certificates = options_.certificate_file.empty()
                          ? own_certificates(folder, names_of_this(options_), addresses)
                          : given_certificates(options_.certificate_file, options_.key_file);
  if (!certificates) return certificates.error();
  lan_.certificates = std::move(certificates).value();
  return prepare_tls(lan_);
}

void Server::announce(const std::vector<std::string>& hosts) {
  const auto address = [&](const std::string& host) {
    return (reached_.tls ? "https://" : "http://") + host + ":" + std::to_string(reached_.port) +
           "/";
  };
  Announced what;
  what.address = address(hosts.front());
  for (std::size_t i = 1; i < hosts.size(); ++i) what.others.push_back(address(hosts[i]));
  what.key = in_groups(lan_.key);
  what.fingerprint = lan_.certificates.fingerprint;
  what.own_authority = !lan_.certificates.authority_pem.empty();
  std::cout << announcement(what, ::isatty(STDOUT_FILENO) == 1) << std::flush;
  service_.emplace(api_, access_, slow_, reached_,
                   Trust{lan_.certificates.authority_pem, what.fingerprint, what.address});
  if (options_.open_page) open_page(what.address);
}

Problems Server::run() {
  constexpr std::size_t kFurther = 4;  // of sockets, the writer, readers of events and rules
  const auto most = connections_for(
      2 * std::size_t{std::max(2u, std::thread::hardware_concurrency())} + kFurther);
  if (!most) return most.error();
  if (options_.lan) {
    if (Problems problems = prepare_lan(); !problems.empty()) return problems;
  } else {
    reached_.hosts = {"localhost", "127.0.0.1", "[::1]"};
  }
  auto listening = listen(sockets_, options_.lan, options_.port);
  if (!listening) return listening.error();
  listening_ = std::move(listening).value();
  reached_.port = listening_.port;
  asio::signal_set signals(sockets_, SIGINT, SIGTERM);
  signals.async_wait([this](Error error, int) {
    if (!error) stop();
  });
  announce(options_.lan ? shown_on_lan(options_) : std::vector<std::string>{"localhost"});
  door_.emplace(Door{sockets_, *service_, hub_,
                     [](const std::string& line) { std::cerr << line + "\n"; }, *most,
                     options_.lan});
  if (*most < Door::kMostConnections)
    door_->log("at most " + std::to_string(*most) +
               " connections: the system lets this program open few files");
  hub_.tell_all(news_of(rules_).event);
  for (auto& acceptor : listening_.acceptors) accept(acceptor);
  tick();
  sockets_.run();
  while (service_->open() > 0) std::this_thread::sleep_for(std::chrono::milliseconds(5));
  return {};
}

void Server::accept(asio::ip::tcp::acceptor& from) {
  from.async_accept([this, &from](Error error, Socket socket) {
    if (door_->stopping) return;
    if (error) {  // no descriptor left, perhaps: not a reason to spin, nor to end
      auto pause = std::make_shared<asio::steady_timer>(sockets_, kAfterNoDescriptor);
      pause->async_wait([this, &from, pause](Error) { accept(from); });
      return;
    }
    prepare(socket);
    if (lan_.tls)
      start_tls(*door_, std::move(socket), *lan_.tls);
    else
      start_plain(*door_, std::move(socket));
    accept(from);
  });
}

void Server::tick() {
  hub_.look();
  look_at_rules();
  if (++ticks_ % kLooksPerBeat == 0) hub_.beat();
  ticking_.expires_after(kLook);
  ticking_.async_wait([this](Error error) {
    if (!error && !door_->stopping) tick();
  });
}

// What was saved, taken into use or told; on the thread of the reader.
void Server::look_at_rules() {
  if (looking_at_rules_) return;
  looking_at_rules_ = rule_reader_.post([this] {
    bool news = false;
    try {
      auto saved = saved_();
      news = saved && rules_.take(*std::move(saved));
    } catch (const std::exception&) {
      news = false;  // memory, or what a library throws of its own: it is looked at again soon
    }
    asio::post(sockets_, [this, news] {
      looking_at_rules_ = false;
      if (!news) return;
      const RulesNews told = news_of(rules_);
      door_->log(told.log);
      hub_.tell_all(told.event);
    });
  });
}

void Server::stop() {
  door_->stopping = true;
  ticking_.cancel();
  Error ignored;
  for (auto& acceptor : listening_.acceptors) acceptor.close(ignored);
  hub_.end_all();
  const std::set<Connection*> all = door_->connections;
  for (Connection* one : all) one->stop();
  end_by_ = std::chrono::steady_clock::now() + kLastAnswers;
  wait_for_the_last();
}

void Server::wait_for_the_last() {
  if (door_->connections.empty() || std::chrono::steady_clock::now() > end_by_)
    return sockets_.stop();
  ending_.expires_after(std::chrono::milliseconds(20));
  ending_.async_wait([this](Error) { wait_for_the_last(); });
}

}  // namespace

Problems serve(const ServerOptions& options, RulesInUse& rules, const SavedRules& saved,
               Store& store, About about) {
  std::signal(SIGPIPE, SIG_IGN);
  return Server(options, rules, saved, store, std::move(about)).run();
}

}  // namespace perrev
