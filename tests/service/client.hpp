// The program as somebody else sees it: started as a process, spoken to over a socket with bytes we choose ourselves.
#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "service/scratch_folder.hpp"

namespace throughcure::tests {

/// An answer as it came over the wire; header names in lower case.
struct Answer {
  int status = 0;  ///< 0: the connection was closed without an answer
  std::map<std::string, std::string> headers;
  std::string body;
};

/// One connection to 127.0.0.1.
class Wire {
 public:
  explicit Wire(std::uint16_t port);
  Wire(const Wire&) = delete;
  Wire& operator=(const Wire&) = delete;
  ~Wire();

  /// Sends all of it, or as much as the other side takes before it closes.
  void send(std::string_view bytes) const;

  /// Reads one answer to its end by its Content-Length; waits five seconds at most for each piece.
  Answer receive(bool without_body = false);

  /// Whether the other side has closed, waiting so long at most for it.
  [[nodiscard]] bool closes_within(std::chrono::milliseconds time) const;

 private:
  bool more();
  int socket_ = -1;
  std::string read_;
};

/// One request on a connection of its own.
Answer ask(std::uint16_t port, std::string_view method, std::string_view target,
           const std::vector<std::string>& header_lines = {}, std::string_view body = {});

/// `throughcure serve`, or another command, with these arguments, from start to end.
class Program {
 public:
  explicit Program(const std::vector<std::string>& arguments, const std::string& command = "serve");
  Program(const Program&) = delete;
  Program& operator=(const Program&) = delete;
  ~Program();

  /// The next line of its standard output; empty when it has ended.
  std::string line();

  /// Sends a signal and waits for the end: the exit status.
  int stop(int signal);

  /// Waits for the end: the exit status, and what it said on standard error.
  int wait();
  [[nodiscard]] std::string said() const;

 private:
  int process_ = -1;
  int out_ = -1;
  std::filesystem::path error_file_;
  ScratchFolder folder_;
  std::string read_;
};

}  // namespace throughcure::tests
