#include "src/store/writer.h"

#include <condition_variable>
#include <deque>
#include <mutex>
#include <thread>
#include <utility>

#include "src/store/case_json.h"

namespace perrev {

class Writer::Inside {
 public:
  using Done = std::function<void(std::optional<Refused>)>;

  Inside(Store& store, std::function<void(std::int64_t)> committed)
      : store_(store), committed_(std::move(committed)), thread_([this] { work(); }) {}

  ~Inside() {
    {
      const std::lock_guard lock(in_turn_);
      ending_ = true;
    }
    wake_.notify_one();
    thread_.join();
  }

  void submit(Store::Work work, Done done) {
    {
      const std::lock_guard lock(in_turn_);
      if (waiting_.size() < kMostWaiting && !ending_) {
        waiting_.push_back({std::move(work), std::move(done)});
        wake_.notify_one();
        return;
      }
    }
    done(refused(Refused::Kind::busy, "too much waits to be written", "try again"));
  }

 private:
  struct Job {
    Store::Work work;
    Done done;
  };

  void work() {
    for (std::vector<Job> jobs = taken(); !jobs.empty(); jobs = taken()) {
      std::vector<Store::Work> works;
      works.reserve(jobs.size());
      for (Job& job : jobs) works.push_back(std::move(job.work));
      auto answers = store_.change(works);
      if (committed_)
        if (const auto seq = store_.last_seq()) committed_(*seq);
      for (std::size_t i = 0; i < jobs.size(); ++i) jobs[i].done(std::move(answers[i]));
    }
  }

  // What waits; empty only at the end.
  std::vector<Job> taken() {
    std::unique_lock lock(in_turn_);
    wake_.wait(lock, [&] { return ending_ || !waiting_.empty(); });
    std::vector<Job> out;
    while (!waiting_.empty() && out.size() < kMostTogether) {
      out.push_back(std::move(waiting_.front()));
      waiting_.pop_front();
    }
    return out;
  }

  Store& store_;
  std::function<void(std::int64_t)> committed_;
  std::mutex in_turn_;
  std::condition_variable wake_;
  std::deque<Job> waiting_;
  bool ending_ = false;
  std::thread thread_;  // last: it uses the others
};

Writer::Writer(Store& store, std::function<void(std::int64_t)> committed)
    : inside_(std::make_unique<Inside>(store, std::move(committed))) {}
Writer::~Writer() = default;

void Writer::submit(Store::Work work, std::function<void(std::optional<Refused>)> done) {
  inside_->submit(std::move(work), std::move(done));
}

namespace {

// `add` gives a value or a refusal; the promise is kept after the commit.
template <class T, class Add>
std::future<Stored<T>> promised(Writer& writer, Add add) {
  struct Shared {
    std::promise<Stored<T>> promise;
    std::optional<T> value;
  };
  const auto shared = std::make_shared<Shared>();
  auto out = shared->promise.get_future();
  writer.submit(
      [shared, add = std::move(add)](Changes& changes) -> std::optional<Refused> {
        auto added = add(changes);
        if (!added) return added.error();
        shared->value = std::move(added).value();
        return std::nullopt;
      },
      [shared](std::optional<Refused> refusal) {
        if (refusal)
          shared->promise.set_value(*std::move(refusal));
        else
          shared->promise.set_value(*std::move(shared->value));
      });
  return out;
}

}  // namespace

std::future<Stored<Added>> Writer::add_case(std::string id, std::string head_json) {
  return promised<Added>(*this, [id = std::move(id), head = std::move(head_json)](Changes& c) {
    return c.add_case(id, head);
  });
}

std::future<Stored<Added>> Writer::set_head(std::string case_id, std::string head_json) {
  return promised<Added>(*this, [id = std::move(case_id), head = std::move(head_json)](Changes& c) {
    return c.set_head(id, head);
  });
}

std::future<Stored<Added>> Writer::add_entries(std::string case_id,
                                               std::vector<std::string> entries_json) {
  return promised<Added>(*this, [id = std::move(case_id), entries = std::move(entries_json)](
                                    Changes& c) { return c.add_entries(id, entries); });
}

std::future<Stored<std::string>> Writer::add_photo(std::string case_id, std::string bytes,
                                                   std::string type) {
  return promised<std::string>(
      *this, [id = std::move(case_id), bytes = std::move(bytes),
              type = std::move(type)](Changes& c) { return c.add_photo(id, bytes, type); });
}

}  // namespace perrev
