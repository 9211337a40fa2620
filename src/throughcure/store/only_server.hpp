// That one program alone serves the records of a database: who is signed in, and who guessed how often, is in its
// memory.
#pragma once

#include <memory>
#include <string>

#include "throughcure/store/place.hpp"

namespace throughcure::store {

class Session;

/// Held for as long as a program serves. Other commands, `backup` among them, work beside it. Of records in a file it
/// keeps nothing: the mark in their folder (service/running_mark.hpp) tells there.
class OnlyServer {
 public:
  /// Throws base::Failure, with what to do, when another program serves these records, or they cannot be had.
  explicit OnlyServer(Place place);
  ~OnlyServer();
  OnlyServer(const OnlyServer&) = delete;
  OnlyServer& operator=(const OnlyServer&) = delete;

  /// To be called now and then, by one thread: a database that was started again has forgotten who serves, and is told
  /// anew. Gives what is wrong, once for as long as it is so; else nothing.
  [[nodiscard]] std::string look();

 private:
  void take();
  [[nodiscard]] bool is_held() noexcept;

  Place place_;
  std::unique_ptr<Session> session_;
  std::string told_;
};

}  // namespace throughcure::store
