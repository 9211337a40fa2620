#include "throughcure/service/answer_by_job.hpp"

#include <future>
#include <stdexcept>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::service {
namespace {

using testing::HasSubstr;

/// Asks and waits, ten seconds at most.
Response answer(const Handler& handler) {
  std::promise<Response> promise;
  auto future = promise.get_future();
  Call call;
  call.session = Session{.member = {}, .person = "ann", .page_token = {}};
  handler(std::move(call), [&promise](Response response) { promise.set_value(std::move(response)); });
  if (future.wait_for(std::chrono::seconds(10)) != std::future_status::ready) throw std::runtime_error("no answer");
  return future.get();
}

TEST(AnswerByJob, GivesTheDocument) {
  Jobs jobs;
  const Response response =
      answer(answer_by_job(jobs, [](const Call& call, const base::Running&) { return call.session->person; }));
  EXPECT_EQ(response.status, 200);
  EXPECT_EQ(response.body, "ann");
}

TEST(AnswerByJob, SaysWhoseFaultItWas) {
  Jobs jobs;
  const Response input = answer(answer_by_job(jobs, [](const Call&, const base::Running&) -> std::string {
    throw base::InputError({{"a.toml", 3, 1, "tip", "-8 is too small", "Give more"}});
  }));
  EXPECT_EQ(input.status, 422);
  EXPECT_THAT(input.body, HasSubstr("a.toml:3:1: tip: -8 is too small. Give more."));
  const Response missing = answer(answer_by_job(
      jobs, [](const Call&, const base::Running&) -> std::string { throw NotFound("There is no such light."); }));
  EXPECT_EQ(missing.status, 404);
  const Response failed = answer(answer_by_job(
      jobs, [](const Call&, const base::Running&) -> std::string { throw base::Failure("the disk is full"); }));
  EXPECT_EQ(failed.status, 500);
}

TEST(AnswerByJob, ANewerDragTakesThePlaceOfTheOlder) {
  std::promise<Response> older;
  std::promise<void> started;
  Jobs jobs;
  const Handler handler = answer_by_job(
      jobs,
      [&started](const Call& call, const base::Running& running) -> std::string {
        if (call.request.body == "older") {
          started.set_value();
          while (!running.stop.stop_requested()) std::this_thread::yield();
          throw base::Interrupted();
        }
        return "newer";
      },
      "tip");
  Call call;
  call.session = Session{.member = {}, .person = "ann", .page_token = {}};
  call.request.body = "older";
  handler(std::move(call), [&older](Response response) { older.set_value(std::move(response)); });
  started.get_future().wait();
  EXPECT_EQ(answer(handler).body, "newer");
  const Response given_up = older.get_future().get();
  EXPECT_EQ(given_up.status, 200) << "nothing went wrong";
  EXPECT_EQ(given_up.body, "{\"given_up\":\"superseded\"}\n");
}

TEST(AnswerByJob, WhatIsDraggedCanBeStopped) {
  std::promise<Response> stopped;
  std::promise<void> started;
  Jobs jobs;
  Call call;
  call.session = Session{.member = {}, .person = "ann", .page_token = {}};
  answer_by_job(
      jobs,
      [&started](const Call&, const base::Running& running) -> std::string {
        started.set_value();
        while (!running.stop.stop_requested()) std::this_thread::yield();
        throw base::Interrupted();
      },
      "tip")(std::move(call), [&stopped](Response response) { stopped.set_value(std::move(response)); });
  started.get_future().wait();
  EXPECT_TRUE(jobs.cancel_drag("tip", "ann"));
  EXPECT_EQ(stopped.get_future().get().body, "{\"given_up\":\"stopped\"}\n");
}

TEST(AnswerByJob, AStoppedJobIsAnswered) {
  Jobs jobs;
  EXPECT_EQ(
      answer(answer_by_job(jobs, [](const Call&, const base::Running&) -> std::string { throw base::Interrupted(); }))
          .status,
      503);
  jobs.close();
  EXPECT_EQ(answer(answer_by_job(jobs, [](const Call&, const base::Running&) { return std::string(); })).status, 429);
}

}  // namespace
}  // namespace throughcure::service
