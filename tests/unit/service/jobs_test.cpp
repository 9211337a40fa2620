#include "throughcure/service/jobs.hpp"

#include <atomic>
#include <chrono>
#include <future>
#include <stdexcept>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::service {
namespace {

using namespace std::chrono_literals;
using testing::ElementsAre;

/// Waits for the end of one job; the wait is bounded so that a lost job fails the test instead of hanging it.
class End {
 public:
  std::function<void(const JobView&)> listener() {
    return [this](const JobView& view) { promise_.set_value(view); };
  }
  JobView wait() {
    auto future = promise_.get_future();
    if (future.wait_for(10s) != std::future_status::ready) throw std::runtime_error("the job never ended");
    return future.get();
  }

 private:
  std::promise<JobView> promise_;
};

/// A gate that work waits at until it is opened or asked to stop.
class Gate {
 public:
  void open() { open_ = true; }
  [[nodiscard]] bool reached() const {
    for (int i = 0; i < 10'000 && !reached_; ++i) std::this_thread::sleep_for(1ms);
    return reached_;
  }
  std::function<std::string(const base::Running&)> work() {
    return [this](const base::Running& running) {
      reached_ = true;
      while (!open_) {
        if (running.stop.stop_requested()) throw base::Interrupted();
        std::this_thread::sleep_for(1ms);
      }
      return std::string("passed");
    };
  }

 private:
  std::atomic<bool> open_ = false;
  std::atomic<bool> reached_ = false;
};

/// Work that is done at once.
std::function<std::string(const base::Running&)> at_once(std::string result = {}) {
  return [result = std::move(result)](const base::Running&) { return result; };
}

JobRules rules(unsigned workers, std::size_t most_waiting, std::size_t most_kept) {
  return {.workers = workers, .threads_each = 1, .most_waiting = most_waiting, .most_kept = most_kept};
}

TEST(Jobs, DoTheWorkAndKeepTheResult) {
  End end;
  Jobs jobs;
  const auto name = jobs.submit({"ann", "", at_once("{}"), end.listener()});
  ASSERT_TRUE(name);
  const JobView told = end.wait();
  EXPECT_EQ(told.state, JobState::done);
  EXPECT_EQ(told.result, "{}");
  EXPECT_EQ(told.share_done, 1);
  const auto view = jobs.view(*name, "ann");
  ASSERT_TRUE(view);
  EXPECT_EQ(view->result, "{}");
  EXPECT_FALSE(jobs.view(*name, "ben")) << "somebody else's job is not there";
  EXPECT_FALSE(jobs.cancel(*name, "ann")) << "what is over cannot be stopped";
}

TEST(Jobs, ShowProgressWhileRunning) {
  Gate gate;
  End end;
  Jobs jobs;
  const auto name = jobs.submit({"ann", "",
                                 [&](const base::Running& running) {
                                   running.progress(0.25, "tracing");
                                   return gate.work()(running);
                                 },
                                 end.listener()});
  ASSERT_TRUE(gate.reached());
  const auto view = jobs.view(*name, "ann");
  EXPECT_EQ(view->state, JobState::running);
  EXPECT_EQ(view->share_done, 0.25);
  EXPECT_EQ(view->doing, "tracing");
  gate.open();
  EXPECT_EQ(end.wait().state, JobState::done);
}

TEST(Jobs, AFailureKeepsItsSentence) {
  End end;
  Jobs jobs;
  jobs.submit({"ann", "", [](const base::Running&) -> std::string { throw base::Failure("the disk is full"); },
               end.listener()});
  const JobView view = end.wait();
  EXPECT_EQ(view.state, JobState::failed);
  EXPECT_EQ(view.why, "the disk is full");
}

TEST(Jobs, StopWhenAsked) {
  Gate gate;
  End running_end;
  End waiting_end;
  Jobs jobs;
  const auto running = jobs.submit({"ann", "", gate.work(), running_end.listener()});
  const auto waiting = jobs.submit({"ann", "", at_once(), waiting_end.listener()});
  ASSERT_TRUE(gate.reached());
  EXPECT_FALSE(jobs.cancel(*running, "ben"));
  EXPECT_TRUE(jobs.cancel(*waiting, "ann"));
  EXPECT_EQ(waiting_end.wait().state, JobState::stopped);
  EXPECT_TRUE(jobs.cancel(*running, "ann"));
  EXPECT_EQ(running_end.wait().state, JobState::stopped);
}

TEST(Jobs, ANewerDragSupersedesTheOlder) {
  Gate gate;
  Gate wall;  // holds the worker, so that the next ones wait
  End first;
  End second;
  End third;
  End other;
  Jobs jobs;
  jobs.submit({"ann", "tip", gate.work(), first.listener()});
  ASSERT_TRUE(gate.reached());
  jobs.submit({"ann", "", wall.work(), {}});
  jobs.submit({"ben", "tip", at_once("ben"), other.listener()});
  jobs.submit({"ann", "tip", at_once("2"), second.listener()});
  EXPECT_EQ(first.wait().state, JobState::superseded) << "running: stopped at its next look at the token";
  EXPECT_EQ(other.wait().result, "ben") << "another person's drag is another drag";
  ASSERT_TRUE(wall.reached());
  jobs.submit({"ann", "tip", at_once("3"), third.listener()});
  EXPECT_EQ(second.wait().state, JobState::superseded) << "waiting: gone at once";
  wall.open();
  EXPECT_EQ(third.wait().result, "3");
}

TEST(Jobs, ADragIsAskedAboutAndStoppedByItsKey) {
  Gate gate;
  End older;
  End newer;
  Jobs jobs(rules(2, 8, 8));
  EXPECT_FALSE(jobs.view_of_drag("tip", "ann"));
  std::promise<void> go_on;
  std::promise<void> started;
  jobs.submit({"ann", "tip",
               [&](const base::Running& running) {
                 running.progress(0.75, "the older");
                 started.set_value();
                 go_on.get_future().wait();  // slow to look at its token
                 return std::string();
               },
               older.listener()});
  started.get_future().wait();
  EXPECT_EQ(jobs.view_of_drag("tip", "ann")->doing, "the older");
  jobs.submit({"ann", "tip",
               [&](const base::Running& running) {
                 running.progress(0.25, "the newer");
                 return gate.work()(running);
               },
               newer.listener()});
  ASSERT_TRUE(gate.reached());
  EXPECT_EQ(jobs.view_of_drag("tip", "ann")->doing, "the newer") << "the older still runs, but has been superseded";
  EXPECT_FALSE(jobs.view_of_drag("tip", "ben"));
  EXPECT_FALSE(jobs.view_of_drag("slide", "ann"));
  EXPECT_FALSE(jobs.cancel_drag("tip", "ben"));
  EXPECT_TRUE(jobs.cancel_drag("tip", "ann"));
  EXPECT_EQ(newer.wait().state, JobState::stopped);
  EXPECT_FALSE(jobs.view_of_drag("tip", "ann"));
  EXPECT_FALSE(jobs.cancel_drag("tip", "ann"));
  go_on.set_value();
  EXPECT_EQ(older.wait().state, JobState::superseded);
}

TEST(Jobs, AreFairBetweenPeople) {
  std::mutex mutex;
  std::vector<std::string> order;
  Gate gate;
  End last;
  Jobs jobs;
  jobs.submit({"ann", "", gate.work(), {}});
  ASSERT_TRUE(gate.reached());
  const auto note = [&](const std::string& what) {
    return [&, what](const base::Running&) {
      const std::scoped_lock lock(mutex);
      order.push_back(what);
      return std::string();
    };
  };
  for (const char* what : {"a1", "a2"}) jobs.submit({"ann", "", note(what), {}});
  jobs.submit({"ann", "", note("a3"), last.listener()});
  for (const char* what : {"b1", "b2"}) jobs.submit({"ben", "", note(what), {}});
  gate.open();
  last.wait();
  EXPECT_THAT(order, ElementsAre("b1", "a1", "b2", "a2", "a3"));
}

TEST(Jobs, TakeOnlySoManyOfOnePerson) {
  Gate gate;
  Jobs jobs(rules(1, 2, 8));
  ASSERT_TRUE(jobs.submit({"ann", "", gate.work(), {}}));
  ASSERT_TRUE(gate.reached());
  EXPECT_TRUE(jobs.submit({"ann", "", at_once(), {}}));
  EXPECT_TRUE(jobs.submit({"ann", "", at_once(), {}}));
  EXPECT_FALSE(jobs.submit({"ann", "", at_once(), {}}));
  EXPECT_TRUE(jobs.submit({"ben", "", at_once(), {}}));
  gate.open();
}

TEST(Jobs, ForgetTheOldestThatAreOver) {
  End first_end;
  End second_end;
  Jobs jobs(rules(1, 8, 1));
  const auto first = jobs.submit({"ann", "", at_once(), first_end.listener()});
  first_end.wait();
  const auto second = jobs.submit({"ann", "", at_once(), second_end.listener()});
  second_end.wait();
  EXPECT_FALSE(jobs.view(*first, "ann"));
  EXPECT_TRUE(jobs.view(*second, "ann"));
}

TEST(Jobs, ClosingStopsEverythingAndTellsEverybody) {
  Gate gate;
  End running;
  End waiting;
  Jobs jobs;
  jobs.submit({"ann", "", gate.work(), running.listener()});
  jobs.submit({"ben", "", at_once(), waiting.listener()});
  ASSERT_TRUE(gate.reached());
  jobs.close();
  EXPECT_EQ(running.wait().state, JobState::stopped);
  EXPECT_EQ(waiting.wait().state, JobState::stopped);
  EXPECT_FALSE(jobs.submit({"ann", "", at_once(), {}}));
}

TEST(Jobs, TellOfEachJobOnceHoweverManyThereAre) {
  std::atomic<int> over = 0;
  {
    Jobs jobs(rules(4, 1000, 64));
    std::vector<std::thread> people;
    people.reserve(4);
    for (int person = 0; person < 4; ++person) {
      people.emplace_back([&jobs, &over, person] {
        for (int i = 0; i < 200; ++i) {
          const auto name = jobs.submit(
              {std::to_string(person), i % 3 == 0 ? "tip" : "", at_once("x"), [&over](const JobView&) { ++over; }});
          if (i % 7 == 0) jobs.cancel(*name, std::to_string(person));
        }
      });
    }
    for (std::thread& person : people) person.join();
  }
  EXPECT_EQ(over, 800);
}

}  // namespace
}  // namespace throughcure::service
