// An answer that is worked out beside the HTTP threads: the request waits for its job.
#pragma once

#include <functional>
#include <string>

#include "throughcure/service/jobs.hpp"
#include "throughcure/service/router.hpp"

namespace throughcure::service {

/// A handler whose JSON document is made by a job of the person who asks. `jobs` must outlive it. What the work throws
/// becomes a refusal: base::InputError 422 with its sentences, NotFound 404, everything else 500; a full queue is 429,
/// and a job that was stopped 503. `drag` names the control that is being dragged: a newer request with the same name
/// takes the place of the older. What is given up for that, or stopped by Jobs::cancel_drag, is no fault: it is
/// answered 200 with {"given_up": "superseded"} or "stopped" as soon as its work has looked at the stop token.
Handler answer_by_job(Jobs& jobs, std::function<std::string(const Call&, const base::Running&)> work,
                      std::string drag = {});

/// What was asked for is not there; says what.
class NotFound : public std::exception {
 public:
  explicit NotFound(std::string text) : text_(std::move(text)) {}
  [[nodiscard]] const char* what() const noexcept override { return text_.c_str(); }

 private:
  std::string text_;
};

}  // namespace throughcure::service
