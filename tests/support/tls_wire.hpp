// A client of our own over TLS, with the library's plain calls, so that what it offers and sends can be chosen.
#pragma once

#include <algorithm>
#include <array>
#include <cctype>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <map>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>

#include <netinet/in.h>
#include <openssl/err.h>
#include <openssl/ssl.h>
#include <openssl/x509.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

namespace throughcure::tests {

/// What a client offers.
struct TlsOffer {
  int least_version = TLS1_2_VERSION;
  int most_version = TLS1_3_VERSION;
  const char* ciphers_12 = "ALL";
};

/// A socket connected to an address as a number, 127.0.0.1 when none is given; a read waits five seconds at most.
class Socket {
 public:
  explicit Socket(std::uint16_t port, std::uint32_t address = INADDR_LOOPBACK)
      : number_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    sockaddr_in where{};
    where.sin_family = AF_INET;
    where.sin_port = htons(port);
    where.sin_addr.s_addr = htonl(address);
    const timeval patience{5, 0};
    ::setsockopt(number_, SOL_SOCKET, SO_RCVTIMEO, &patience, sizeof patience);
    // NOLINTNEXTLINE(cppcoreguidelines-pro-type-reinterpret-cast): as the system wants it
    if (::connect(number_, reinterpret_cast<const sockaddr*>(&where), sizeof where) != 0) {
      ::close(number_);
      throw std::runtime_error("cannot connect");
    }
  }
  Socket(const Socket&) = delete;
  Socket& operator=(const Socket&) = delete;
  ~Socket() { ::close(number_); }
  [[nodiscard]] int number() const { return number_; }
  void send(std::string_view bytes) const {
    while (!bytes.empty()) {
      const ssize_t n = ::send(number_, bytes.data(), bytes.size(), MSG_NOSIGNAL);
      if (n <= 0) return;
      bytes.remove_prefix(static_cast<std::size_t>(n));
    }
  }
  /// What the other side says until it closes; nothing when it does not close within the time.
  [[nodiscard]] std::optional<std::string> last_words(std::chrono::milliseconds time) const {
    std::string said;
    const auto deadline = std::chrono::steady_clock::now() + time;
    while (std::chrono::steady_clock::now() < deadline) {
      pollfd waiting{number_, POLLIN, 0};
      const auto left =
          std::chrono::duration_cast<std::chrono::milliseconds>(deadline - std::chrono::steady_clock::now());
      if (::poll(&waiting, 1, static_cast<int>(left.count())) <= 0) return std::nullopt;
      std::array<char, 4096> piece{};
      const ssize_t n = ::recv(number_, piece.data(), piece.size(), 0);
      if (n <= 0) return said;
      said.append(piece.data(), static_cast<std::size_t>(n));
    }
    return std::nullopt;
  }
  [[nodiscard]] bool closes_within(std::chrono::milliseconds time) const { return last_words(time).has_value(); }

 private:
  int number_ = -1;
};

/// An answer over TLS; header names in lower case. Status 0: closed without one.
struct TlsAnswer {
  int status = 0;
  std::map<std::string, std::string> headers;
  std::string body;
};

/// One TLS connection. Believes any certificate: that is compared by its fingerprint.
class TlsWire {
 public:
  explicit TlsWire(std::uint16_t port, const TlsOffer& offer = {})
      : socket_(port), context_(context_of(offer)), wire_(SSL_new(context_.get())), agreed_(agree()) {}

  [[nodiscard]] bool agreed() const { return agreed_; }
  [[nodiscard]] std::string version() const { return SSL_get_version(wire_.get()); }
  [[nodiscard]] std::string cipher() const { return SSL_get_cipher_name(wire_.get()); }
  [[nodiscard]] SSL* raw() const { return wire_.get(); }
  [[nodiscard]] const Socket& socket() const { return socket_; }

  /// SHA-256 of the certificate that the other side showed: "0A:1B:...".
  [[nodiscard]] std::string fingerprint() const {
    const std::unique_ptr<X509, Free> certificate(SSL_get1_peer_certificate(wire_.get()));
    std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
    unsigned size = 0;
    if (!certificate || X509_digest(certificate.get(), EVP_sha256(), digest.data(), &size) != 1) return {};
    std::string out;
    for (unsigned i = 0; i < size; ++i) {
      std::array<char, 4> two{};
      std::snprintf(two.data(), two.size(), i == 0 ? "%02X" : ":%02X", digest[i]);
      out += two.data();
    }
    return out;
  }

  /// Sends all of it, or as much as the other side takes.
  void send(std::string_view bytes) const {
    if (!bytes.empty()) SSL_write(wire_.get(), bytes.data(), static_cast<int>(bytes.size()));
    ERR_clear_error();
  }

  TlsAnswer receive() {
    std::size_t end = std::string::npos;
    while ((end = read_.find("\r\n\r\n")) == std::string::npos) {
      if (!more()) return {};
    }
    TlsAnswer answer;
    answer.status = std::stoi(read_.substr(read_.find(' ')));
    for (std::size_t at = read_.find("\r\n") + 2; at < end + 2;) {
      const std::size_t stop = read_.find("\r\n", at);
      const std::size_t colon = read_.find(':', at);
      std::string name = read_.substr(at, colon - at);
      std::transform(name.begin(), name.end(), name.begin(), [](unsigned char c) { return std::tolower(c); });
      answer.headers[name] = read_.substr(colon + 2, stop - colon - 2);
      at = stop + 2;
    }
    read_.erase(0, end + 4);
    const std::size_t size =
        answer.headers.contains("content-length") ? std::stoul(answer.headers["content-length"]) : 0;
    while (read_.size() < size && more()) {
    }
    answer.body = read_.substr(0, size);
    read_.erase(0, answer.body.size());
    return answer;
  }

  /// Whether the other side ends the connection within the socket's patience.
  bool ends() {
    while (more()) {
    }
    return SSL_get_error(wire_.get(), last_) != SSL_ERROR_WANT_READ;
  }

 private:
  struct Free {
    void operator()(SSL* wire) const { SSL_free(wire); }
    void operator()(SSL_CTX* context) const { SSL_CTX_free(context); }
    void operator()(X509* certificate) const { X509_free(certificate); }
  };
  using ContextPtr = std::unique_ptr<SSL_CTX, Free>;

  static ContextPtr context_of(const TlsOffer& offer) {
    ContextPtr context(SSL_CTX_new(TLS_client_method()));
    SSL_CTX_set_security_level(context.get(), 0);  // offers what is weak, too
    SSL_CTX_set_min_proto_version(context.get(), offer.least_version);
    SSL_CTX_set_max_proto_version(context.get(), offer.most_version);
    SSL_CTX_set_cipher_list(context.get(), offer.ciphers_12);
    return context;
  }

  [[nodiscard]] bool agree() const {
    SSL_set_fd(wire_.get(), socket_.number());
    const bool agreed = SSL_connect(wire_.get()) == 1;
    ERR_clear_error();
    return agreed;
  }

  bool more() {
    std::array<char, 16384> piece{};
    last_ = SSL_read(wire_.get(), piece.data(), static_cast<int>(piece.size()));
    if (last_ <= 0) return false;
    read_.append(piece.data(), static_cast<std::size_t>(last_));
    return true;
  }

  Socket socket_;
  ContextPtr context_;
  std::unique_ptr<SSL, Free> wire_;
  bool agreed_;
  int last_ = 0;
  std::string read_;
};

}  // namespace throughcure::tests
