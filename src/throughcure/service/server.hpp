// The HTTP/1.1 server, plain or over TLS: sockets, limits and timeouts. The one source file behind it is the only one
// that knows the HTTP library.
#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <stop_token>
#include <string>

#include "throughcure/service/http.hpp"
#include "throughcure/service/tls_identity.hpp"

namespace throughcure::service {

/// Where to listen, and how much of everything one client may take.
struct ServerSettings {
  std::string address = "127.0.0.1";  ///< loopback only, unless somebody says otherwise knowing what it means
  std::uint16_t port = 0;             ///< 0: any free port
  unsigned threads = 2;               ///< threads that read and write; none of them ever computes
  std::size_t most_connections = 64;  ///< more are told 503 and closed
  std::size_t most_header_bytes = std::size_t{8} << 10;
  std::size_t most_body_bytes = std::size_t{1} << 20;
  std::optional<TlsIdentity> tls = std::nullopt;     ///< HTTPS with this certificate; without it plain HTTP
  std::chrono::milliseconds handshake_time{10'000};  ///< for TLS to be agreed upon
  std::chrono::milliseconds request_time{20'000};    ///< for a whole request to arrive, waiting for it included
  std::chrono::milliseconds answer_time{20'000};     ///< for a client to take an answer
  std::size_t slowest_bytes_per_s = 250'000;         ///< bodies get so much more time than the two above
  std::chrono::milliseconds stop_time{3'000};        ///< for open answers to be finished when asked to stop
};

/// Listens from construction on and answers while `run` runs. Every Reply that a handle was given must have been called
/// or dropped before the server is destroyed.
class Server {
 public:
  /// Binds. Throws base::Failure naming address and port, the system's reason and the remedy, and base::InputError
  /// when the certificate or its key cannot be used.
  explicit Server(const ServerSettings& settings);
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;
  ~Server();

  /// The port it listens on.
  [[nodiscard]] std::uint16_t port() const;

  /// Shows this certificate to whoever connects from now on; connections that are open go on as they are. From any
  /// thread. Throws base::InputError when it cannot be used, and base::Failure of a server that speaks plain HTTP; the
  /// one before then goes on.
  void show(const TlsIdentity& identity);

  /// Answers with `handle`, which may be called from several threads at once, as `larger_body` may, until a stop is
  /// asked for. A body of more than `most_body_bytes` is told by its header and not read. Then takes
  /// nothing new, closes idle connections, and gives the others `stop_time` to be answered.
  void run(const Handle& handle, const std::stop_token& stop, const LargerBody& larger_body = {});

 private:
  class Listener;
  std::unique_ptr<Listener> listener_;
};

}  // namespace throughcure::service
