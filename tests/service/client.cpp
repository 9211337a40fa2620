#include "service/client.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <csignal>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include <fcntl.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <unistd.h>

namespace throughcure::tests {

namespace {

/// Appends what there is to read within the time; false when the other side closed or nothing came.
bool read_some(int file, std::string& to, std::chrono::milliseconds time) {
  pollfd waiting{file, POLLIN, 0};
  if (::poll(&waiting, 1, static_cast<int>(time.count())) <= 0) return false;
  std::array<char, 4096> piece{};
  const ssize_t n = ::read(file, piece.data(), piece.size());
  if (n <= 0) return false;
  to.append(piece.data(), static_cast<std::size_t>(n));
  return true;
}

}  // namespace

Wire::Wire(std::uint16_t port) : socket_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
  sockaddr_in where{};
  where.sin_family = AF_INET;
  where.sin_port = htons(port);
  where.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): as the system wants it
  if (::connect(socket_, reinterpret_cast<const sockaddr*>(&where), sizeof where) != 0) {
    ::close(socket_);
    throw std::runtime_error("cannot connect");
  }
}

Wire::~Wire() { ::close(socket_); }

void Wire::send(std::string_view bytes) const {
  while (!bytes.empty()) {
    const ssize_t n = ::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL);
    if (n <= 0) return;
    bytes.remove_prefix(static_cast<std::size_t>(n));
  }
}

bool Wire::more() { return read_some(socket_, read_, std::chrono::seconds(5)); }

Answer Wire::receive(bool without_body) {
  std::size_t end = std::string::npos;
  while ((end = read_.find("\r\n\r\n")) == std::string::npos) {
    if (!more()) return {};
  }
  Answer answer;
  std::istringstream head(read_.substr(0, end));
  read_.erase(0, end + 4);
  std::string line;
  std::getline(head, line);
  answer.status = std::stoi(line.substr(line.find(' ')));
  while (std::getline(head, line)) {
    if (!line.empty() && line.back() == '\r') line.pop_back();
    std::string name = line.substr(0, line.find(':'));
    std::transform(name.begin(), name.end(), name.begin(), [](unsigned char c) { return std::tolower(c); });
    answer.headers[name] = line.substr(line.find(':') + 2);
  }
  const auto length = answer.headers.find("content-length");
  const std::size_t size = without_body || length == answer.headers.end() ? 0 : std::stoul(length->second);
  while (read_.size() < size && more()) {
  }
  answer.body = read_.substr(0, size);
  read_.erase(0, size);
  return answer;
}

bool Wire::closes_within(std::chrono::milliseconds time) const {
  const auto deadline = std::chrono::steady_clock::now() + time;
  while (std::chrono::steady_clock::now() < deadline) {
    pollfd waiting{socket_, POLLIN, 0};
    const auto left =
        std::chrono::duration_cast<std::chrono::milliseconds>(deadline - std::chrono::steady_clock::now());
    if (::poll(&waiting, 1, static_cast<int>(std::max<std::int64_t>(0, left.count()))) <= 0) return false;
    std::array<char, 4096> piece{};
    if (::read(socket_, piece.data(), piece.size()) <= 0) return true;
  }
  return false;
}

Answer ask(std::uint16_t port, std::string_view method, std::string_view target,
           const std::vector<std::string>& header_lines, std::string_view body) {
  std::string request = std::string(method) + " " + std::string(target) + " HTTP/1.1\r\n";
  const bool has_host = std::any_of(header_lines.begin(), header_lines.end(),
                                    [](const std::string& line) { return line.starts_with("Host:"); });
  if (!has_host) request += "Host: 127.0.0.1:" + std::to_string(port) + "\r\n";
  for (const std::string& line : header_lines) request += line + "\r\n";
  if (!body.empty()) request += "Content-Length: " + std::to_string(body.size()) + "\r\n";
  Wire wire(port);
  wire.send(request + "\r\n" + std::string(body));
  return wire.receive(method == "HEAD");
}

Program::Program(const std::vector<std::string>& arguments, const std::string& command) {
  error_file_ = folder_.path() / "stderr";
  std::array<int, 2> pipe{};
  if (::pipe2(pipe.data(), O_CLOEXEC) != 0) throw std::runtime_error("no pipe");
  std::vector<std::string> words{THROUGHCURE_PROGRAM, command};
  words.insert(words.end(), arguments.begin(), arguments.end());
  std::vector<char*> pointers;
  pointers.reserve(words.size() + 1);
  for (std::string& word : words) pointers.push_back(word.data());
  pointers.push_back(nullptr);
  process_ = ::fork();
  if (process_ == 0) {
    const int error = ::open(error_file_.c_str(), O_WRONLY | O_CREAT | O_CLOEXEC, 0600);
    ::dup2(pipe[1], STDOUT_FILENO);
    ::dup2(error, STDERR_FILENO);
    ::execv(pointers[0], pointers.data());
    ::_exit(127);
  }
  ::close(pipe[1]);
  out_ = pipe[0];
}

Program::~Program() {
  if (process_ > 0) stop(SIGKILL);
  ::close(out_);
}

std::string Program::line() {
  while (read_.find('\n') == std::string::npos) {
    if (!read_some(out_, read_, std::chrono::seconds(20))) return {};
  }
  const std::size_t end = read_.find('\n');
  std::string line = read_.substr(0, end);
  read_.erase(0, end + 1);
  return line;
}

int Program::stop(int signal) {
  ::kill(process_, signal);
  return wait();
}

int Program::wait() {
  int status = 0;
  ::waitpid(process_, &status, 0);
  process_ = -1;
  return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

std::string Program::said() const {
  const std::ifstream file(error_file_);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

}  // namespace throughcure::tests
