#include "src/server/events.h"

#include <algorithm>
#include <set>
#include <utility>

namespace perrev {

namespace {

constexpr std::size_t kMostNews = 1000;
constexpr std::size_t kPage = 50;                       // at 16 KiB an entry less than kMostWaiting
constexpr auto kPause = std::chrono::milliseconds(20);  // between two looks

// A line end would end the data; in JSON it can only be a blank between tokens.
std::string on_one_line(std::string json) {
  for (char& c : json)
    if (c == '\n' || c == '\r') c = ' ';
  return json;
}

}  // namespace

std::string event_of_case(const Addition& addition) {
  const std::string kind = addition.kind == Addition::Kind::head ? "head" : "entry";
  const std::string seq = std::to_string(addition.seq);
  return "id: " + seq + "\nevent: " + kind + "\ndata: {\"seq\":" + seq + ",\"" + kind +
         "\":" + on_one_line(addition.json) + "}\n\n";
}

std::string event_of_all(const Addition& addition) {
  const std::string seq = std::to_string(addition.seq);
  return "id: " + seq + "\nevent: case\ndata: {\"case\":\"" + addition.case_id +
         "\",\"seq\":" + seq + "}\n\n";
}

EventHub::EventHub(const Store& store, std::function<void(std::function<void()>)> on_sockets)
    : store_(store), on_sockets_(std::move(on_sockets)) {
  if (const auto last = store_.last_seq()) seen_ = *last;
}

void EventHub::join(std::shared_ptr<EventSink> sink, const EventsWish& wish) {
  const EventSink* key = sink.get();
  sink->send(std::make_shared<const std::string>(": perrev\nretry: 2000\n\n" + told_));
  Stream& stream = streams_[key];
  stream.sink = std::move(sink);
  stream.case_id = wish.case_id;
  stream.position = wish.after < 0 ? seen_ : wish.after;
  stream.catching_up = stream.position < seen_;
  if (stream.catching_up) read_on(key);
}

void EventHub::leave(const EventSink* sink) { streams_.erase(sink); }

void EventHub::drained(const EventSink* sink) {
  const auto found = streams_.find(sink);
  if (found != streams_.end() && found->second.catching_up && !found->second.reading) read_on(sink);
}

void EventHub::read_on(const EventSink* sink) {
  Stream& stream = streams_[sink];
  const bool posted =
      reader_.post([this, sink, id = stream.case_id, from = stream.position, seen_before = seen_] {
        auto page = store_.since(id, from, kPage);
        const bool failed = !page.ok();
        auto got =
            std::make_shared<const Additions>(failed ? Additions() : std::move(page).value());
        on_sockets_([this, sink, got, seen_before, failed] {
          if (failed) {
            const auto found = streams_.find(sink);
            if (found != streams_.end()) found->second.sink->end();
          } else {
            caught(sink, *got, seen_before);
          }
        });
      });
  stream.reading = posted;
  if (!posted) stream.sink->end();  // its reader comes back, with what it has
}

void EventHub::caught(const EventSink* sink, const Additions& page, std::int64_t seen_before) {
  const auto found = streams_.find(sink);
  if (found == streams_.end()) return;
  Stream& stream = found->second;
  stream.reading = false;
  std::string text;
  for (const Addition& one : page) {
    if (one.seq <= stream.position) continue;
    text += stream.case_id.empty() ? event_of_all(one) : event_of_case(one);
    stream.position = one.seq;
  }
  // What had been seen when the page was read is in it, unless the page was full.
  if (page.size() < kPage) stream.position = std::max(stream.position, seen_before);
  stream.catching_up = stream.position < seen_;
  const std::shared_ptr<EventSink> kept = stream.sink;
  if (!text.empty())
    kept->send(std::make_shared<const std::string>(std::move(text)));  // drained() reads on
  else if (stream.catching_up)
    read_on(sink);
}

void EventHub::look() {
  look_again_ = looking_;
  if (looking_) return;
  looking_ = true;
  const bool posted = reader_.post([this, from = seen_] {
    const auto now = std::chrono::steady_clock::now();
    if (now < last_look_ + kPause) std::this_thread::sleep_for(last_look_ + kPause - now);
    last_look_ = std::chrono::steady_clock::now();
    auto news = store_.since({}, from, kMostNews);
    auto got = std::make_shared<const Additions>(news ? std::move(news).value() : Additions());
    on_sockets_([this, got] {
      looking_ = false;
      deliver(*got);
      if (look_again_ || got->size() == kMostNews) look();
    });
  });
  if (!posted) looking_ = false;  // the next look is half a second away
}

void EventHub::deliver(const Additions& news) {
  if (news.empty()) return;
  std::map<std::string, Chunk> of_case;
  std::string all;
  {
    std::map<std::string, std::string> texts;
    for (const Addition& one : news) {
      texts[one.case_id] += event_of_case(one);
      all += event_of_all(one);
    }
    for (auto& [id, text] : texts)
      of_case[id] = std::make_shared<const std::string>(std::move(text));
  }
  const Chunk of_all = std::make_shared<const std::string>(std::move(all));
  const std::int64_t before = seen_;
  seen_ = news.back().seq;
  for (auto& [sink, stream] : streams_) {
    if (stream.catching_up) continue;
    if (stream.position > before) {  // it had a page that was newer than our last look
      std::string own;
      for (const Addition& one : news)
        if (one.seq > stream.position && (stream.case_id.empty() || stream.case_id == one.case_id))
          own += stream.case_id.empty() ? event_of_all(one) : event_of_case(one);
      if (!own.empty()) stream.sink->send(std::make_shared<const std::string>(std::move(own)));
    } else if (stream.case_id.empty()) {
      stream.sink->send(of_all);
    } else if (const auto found = of_case.find(stream.case_id); found != of_case.end()) {
      stream.sink->send(found->second);
    }
    stream.position = std::max(stream.position, seen_);
  }
  drop_slow();
}

void EventHub::drop_slow() {
  std::vector<std::shared_ptr<EventSink>> slow;
  for (const auto& [sink, stream] : streams_)
    if (sink->waiting() > kMostWaiting) slow.push_back(stream.sink);
  for (const auto& one : slow) one->end();
}

void EventHub::send_all(const Chunk& chunk) {
  for (const auto& [sink, stream] : streams_) stream.sink->send(chunk);
  drop_slow();
}

void EventHub::tell_all(std::string event) {
  told_ = std::move(event);
  send_all(std::make_shared<const std::string>(told_));
}

void EventHub::beat() { send_all(std::make_shared<const std::string>(":\n\n")); }

void EventHub::end_all() {
  std::vector<std::shared_ptr<EventSink>> all;
  for (const auto& [sink, stream] : streams_) all.push_back(stream.sink);
  for (const auto& one : all) one->end();
}

}  // namespace perrev
