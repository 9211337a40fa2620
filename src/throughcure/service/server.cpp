#include "throughcure/service/server.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <limits>
#include <map>
#include <mutex>
#include <optional>
#include <thread>
#include <tuple>
#include <type_traits>
#include <utility>
#include <vector>

#include <boost/asio.hpp>
#include <boost/asio/ssl.hpp>
#include <boost/beast/core.hpp>
#include <boost/beast/http.hpp>
#include <boost/beast/ssl.hpp>

#include "throughcure/base/problem.hpp"
#include "throughcure/service/guard.hpp"
#include "throughcure/service/tls_context.hpp"

namespace throughcure::service {

namespace net = boost::asio;
namespace beast = boost::beast;
namespace http = boost::beast::http;
using beast::error_code;
using net::ip::tcp;
using PlainStream = beast::tcp_stream;
using TlsStream = beast::ssl_stream<beast::tcp_stream>;

namespace {

using Parser = http::request_parser<http::string_body>;
using WireResponse = http::response<http::string_body>;

constexpr std::size_t kMostDrainedBytes = std::size_t{4} << 20;
constexpr std::chrono::milliseconds kDrainTime{2000};
constexpr std::chrono::milliseconds kDrainTimeWhenStopping{100};

std::string lower(beast::string_view text) {
  std::string out(text.begin(), text.end());
  std::transform(out.begin(), out.end(), out.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  return out;
}

Method method_of(http::verb verb) {
  switch (verb) {
    case http::verb::get:
      return Method::get;
    case http::verb::head:
      return Method::head;
    case http::verb::post:
      return Method::post;
    case http::verb::put:
      return Method::put;
    case http::verb::patch:
      return Method::patch;
    case http::verb::delete_:
      return Method::del;
    default:
      return Method::other;
  }
}

/// All but the body.
Request head_of(const http::request<http::string_body>& wire) {
  Request out;
  out.method = method_of(wire.method());
  out.target = std::string(wire.target().data(), wire.target().size());
  for (const auto& field : wire) {
    out.headers.push_back({lower(field.name_string()), std::string(field.value().data(), field.value().size())});
  }
  return out;
}

Request from_wire(http::request<http::string_body>&& wire) {
  Request out = head_of(wire);
  out.body = std::move(wire.body());
  return out;
}

/// The answer as sent. To HEAD it says how long the body would be and leaves it out.
WireResponse to_wire(Response&& response, bool head, bool keep_alive) {
  WireResponse wire;
  wire.version(11);
  wire.result(static_cast<unsigned>(response.status));
  for (const Header& header : response.headers) wire.insert(header.name, header.value);
  wire.keep_alive(keep_alive);
  if (response.status != 204 && response.status != 304) wire.content_length(response.body.size());
  if (!head) wire.body() = std::move(response.body);
  return wire;
}

/// What the server itself answers when a request is not even fit to be handed on.
struct Refusal {
  int status;
  const char* sentence;
};

Refusal refusal_of(error_code error) {
  if (error == http::error::body_limit) return {413, "The request is larger than this server takes.\n"};
  if (error == http::error::header_limit) return {431, "The header of the request is larger than this server takes.\n"};
  return {400, "This is not a request that this server can read.\n"};
}

bool is_http_error(error_code error) {
  return error.category() == make_error_code(http::error::end_of_stream).category();
}

class Connection;

/// What the connections share with the listener.
struct Shared {
  ServerSettings settings;
  std::shared_ptr<net::ssl::context> tls;  ///< none: plain HTTP
  Handle handle;
  LargerBody larger_body;
  std::mutex mutex;
  std::map<Connection*, std::weak_ptr<Connection>> open;
};

/// One client, whatever lies between it and us.
class Connection {
 public:
  explicit Connection(Shared& shared) : shared_(shared) {}
  Connection(const Connection&) = delete;
  Connection& operator=(const Connection&) = delete;
  virtual ~Connection() {
    const std::scoped_lock lock(shared_.mutex);
    shared_.open.erase(this);
  }

  /// Serves the client; tells it that there are too many and closes, when there are.
  virtual void start(bool too_many) = 0;

  /// Closes at once when nothing is being answered, else after the answer.
  virtual void finish() = 0;

 protected:
  Shared& shared_;  // NOLINT(*-non-private-member-variables-in-classes): the listener's, not ours
};

/// One client on its stream. Everything happens on the strand of the stream, one operation at a time: read, answer,
/// write, again.
template <class Stream>
class StreamConnection final : public Connection, public std::enable_shared_from_this<StreamConnection<Stream>> {
 public:
  template <class... Arguments>
  explicit StreamConnection(Shared& shared, Arguments&&... arguments)
      : Connection(shared), stream_(std::forward<Arguments>(arguments)...) {}

  void start(bool too_many) override {
    net::dispatch(stream_.get_executor(), [self = this->shared_from_this(), too_many] { self->agree(too_many); });
  }

  void finish() override {
    net::dispatch(stream_.get_executor(), [self = this->shared_from_this()] {
      self->keep_alive_ = false;
      self->finishing_ = true;
      if (!self->answering_) self->socket().close();
    });
  }

 private:
  static constexpr bool kTls = std::is_same_v<Stream, TlsStream>;

  /// The stream of bytes at the bottom, which also keeps the time.
  beast::tcp_stream& socket() { return beast::get_lowest_layer(stream_); }

  /// Agrees upon TLS, where it is spoken. Who cannot is closed: the socket goes with us.
  void agree(bool too_many) {
    if constexpr (kTls) {
      if (finishing_) return;
      socket().expires_after(shared_.settings.handshake_time);
      beast::async_detect_ssl(socket(), buffer_,
                              [self = this->shared_from_this(), too_many](error_code error, bool tls) {
                                if (error || self->finishing_) return;
                                if (!tls) return self->say_https();
                                self->stream_.async_handshake(net::ssl::stream_base::server, self->buffer_.data(),
                                                              [self, too_many](error_code failed, std::size_t used) {
                                                                if (failed) return;
                                                                self->buffer_.consume(used);
                                                                self->serve(too_many);
                                                              });
                              });
    } else {
      serve(too_many);
    }
  }

  /// What a browser is told that was given the address without "https://": in plain HTTP, and nothing but this.
  void say_https() {
    Response response = text_response(400, "text/plain; charset=utf-8",
                                      "This address is answered over HTTPS only. Put https:// before it.\n");
    harden(response);
    wire_ = to_wire(std::move(response), false, false);
    answering_ = true;
    socket().expires_after(shared_.settings.answer_time);
    http::async_write(socket(), wire_, [self = this->shared_from_this()](error_code error, std::size_t) {
      self->answering_ = false;
      if (!error) self->close_socket();
    });
  }

  void serve(bool too_many) {
    if (!too_many) return read();
    refuse({503, "Too many connections are open. Close a page of this program and load this one again.\n"});
  }

  void read() {
    if (finishing_) return;
    parser_ = std::make_unique<Parser>();
    parser_->header_limit(static_cast<std::uint32_t>(shared_.settings.most_header_bytes));
    parser_->body_limit(std::numeric_limits<std::uint64_t>::max());  // held against the header, when it is there
    socket().expires_after(shared_.settings.request_time);
    http::async_read_header(
        stream_, buffer_, *parser_,
        [self = this->shared_from_this()](error_code error, std::size_t) { self->on_read_header(error); });
  }

  /// How much of a body is taken depends on who sends it where. What says itself that it is longer is not read at all.
  void on_read_header(error_code error) {
    if (error || finishing_) return on_read(error);
    std::uint64_t most = shared_.settings.most_body_bytes;
    const std::uint64_t said = parser_->content_length().value_or(0);
    if (said > most || parser_->chunked()) {
      const std::uint64_t larger = shared_.larger_body ? shared_.larger_body(head_of(parser_->get())) : 0;
      if (larger > most) {
        most = larger;
        socket().expires_after(shared_.settings.request_time + time_for(most));
      }
    }
    if (said > most) return refuse(refusal_of(http::error::body_limit));
    parser_->body_limit(most);
    http::async_read(stream_, buffer_, *parser_,
                     [self = this->shared_from_this()](error_code failed, std::size_t) { self->on_read(failed); });
  }

  /// What a slow line needs for a body.
  [[nodiscard]] std::chrono::seconds time_for(std::uint64_t bytes) const {
    return std::chrono::seconds(bytes / shared_.settings.slowest_bytes_per_s);
  }

  void on_read(error_code error) {
    if (error == http::error::end_of_stream) return close();
    if (error && is_http_error(error)) return refuse(refusal_of(error));
    if (error || finishing_) return;  // timed out or gone: the stream closes with us
    answering_ = true;
    keep_alive_ = parser_->get().keep_alive();
    head_ = parser_->get().method() == http::verb::head;
    socket().expires_never();
    auto answered = std::make_shared<std::atomic<bool>>(false);
    Request request = from_wire(parser_->release());
    error_code unknown;
    const tcp::endpoint other = socket().socket().remote_endpoint(unknown);
    if (!unknown) request.from = other.address().to_string();
    // The guard keeps the server running while the answer is being made elsewhere.
    shared_.handle(std::move(request), [self = this->shared_from_this(), answered = std::move(answered),
                                        guard = net::make_work_guard(stream_.get_executor())](Response response) {
      if (answered->exchange(true)) return;
      net::post(self->stream_.get_executor(), [self, response = std::move(response)]() mutable {
        self->write(std::move(response), self->keep_alive_);
      });
    });
  }

  void refuse(const Refusal& refusal) {
    Response response = text_response(refusal.status, "text/plain; charset=utf-8", refusal.sentence);
    harden(response);
    answering_ = true;
    write(std::move(response), false);
  }

  void write(Response&& response, bool keep_alive) {
    const std::chrono::seconds longer = time_for(response.body.size());
    wire_ = to_wire(std::move(response), head_, keep_alive);
    socket().expires_after(shared_.settings.answer_time + longer);
    http::async_write(stream_, wire_, [self = this->shared_from_this(), keep_alive](error_code error, std::size_t) {
      self->answering_ = false;
      if (error) return;
      if (keep_alive && self->keep_alive_) return self->read();
      self->close();
    });
  }

  /// Says goodbye and reads away what is still coming, so that the last answer is not lost to a reset.
  void close() {
    if constexpr (kTls) {
      // Waits for the client's goodbye, too; whether it comes makes no difference any more.
      socket().expires_after(finishing_ ? kDrainTimeWhenStopping : kDrainTime);
      stream_.async_shutdown([self = this->shared_from_this()](error_code) { self->close_socket(); });
    } else {
      close_socket();
    }
  }

  void close_socket() {
    error_code ignored;
    // A client that has gone already cannot be told goodbye.
    std::ignore = socket().socket().shutdown(tcp::socket::shutdown_send, ignored);
    socket().expires_after(kDrainTime);
    drain(0);
  }

  void drain(std::size_t drained) {
    if (drained > kMostDrainedBytes || finishing_) return;
    socket().async_read_some(net::buffer(drained_),
                             [self = this->shared_from_this(), drained](error_code error, std::size_t bytes) {
                               if (!error) self->drain(drained + bytes);
                             });
  }

  Stream stream_;
  beast::flat_buffer buffer_;
  std::unique_ptr<Parser> parser_;
  WireResponse wire_;
  std::array<char, 4096> drained_{};
  bool answering_ = false;
  bool keep_alive_ = false;
  bool head_ = false;
  bool finishing_ = false;
};

}  // namespace

class Server::Listener {
 public:
  explicit Listener(const ServerSettings& settings)
      : context_(static_cast<int>(settings.threads)), acceptor_(net::make_strand(context_)), again_(context_) {
    shared_.settings = settings;
    if (settings.tls) shared_.tls = context_of(*settings.tls);
    shared_.settings.tls.reset();  // the key lies in one place only
    try {
      const tcp::endpoint endpoint(net::ip::make_address(settings.address), settings.port);
      acceptor_.open(endpoint.protocol());
      acceptor_.set_option(net::socket_base::reuse_address(true));
      acceptor_.bind(endpoint);
      acceptor_.listen();
    } catch (const boost::system::system_error& error) {
      const bool foreign = error.code() == boost::system::errc::address_not_available;
      throw base::Failure("cannot listen on " + settings.address + ":" + std::to_string(settings.port) + ": " +
                          error.code().message() +
                          (foreign ? ". Name an address that this machine has."
                                   : ". Name another port with --port, or --port 0 for any that is free."));
    }
  }

  [[nodiscard]] std::uint16_t port() const { return acceptor_.local_endpoint().port(); }

  void show(const TlsIdentity& identity) {
    std::shared_ptr<net::ssl::context> tls = context_of(identity);
    const std::scoped_lock lock(shared_.mutex);
    if (!shared_.tls) throw base::Failure("this server speaks plain HTTP and shows no certificate. Start it with TLS.");
    shared_.tls.swap(tls);
  }

  void run(const Handle& handle, const std::stop_token& stop, const LargerBody& larger_body) {
    shared_.handle = handle;
    shared_.larger_body = larger_body;
    accept();
    const std::stop_callback on_stop(stop, [this] { net::post(acceptor_.get_executor(), [this] { finish(); }); });
    std::vector<std::thread> threads;
    for (unsigned i = 1; i < shared_.settings.threads; ++i) threads.emplace_back([this] { context_.run(); });
    context_.run();
    for (std::thread& thread : threads) thread.join();
  }

 private:
  static std::shared_ptr<net::ssl::context> context_of(const TlsIdentity& identity) {
    return std::make_shared<net::ssl::context>(make_tls_context(identity).release());
  }

  void accept() {
    acceptor_.async_accept(net::make_strand(context_), [this](error_code error, tcp::socket socket) {
      // Somebody who was let in just before the door closed is not served either.
      if (error == net::error::operation_aborted || !acceptor_.is_open()) return;
      if (error) return accept_later();
      take(std::move(socket));
      accept();
    });
  }

  /// Out of file handles or the like: try again in a moment, not in a circle.
  void accept_later() {
    again_.expires_after(std::chrono::milliseconds(100));
    again_.async_wait(net::bind_executor(acceptor_.get_executor(), [this](error_code error) {
      if (!error && acceptor_.is_open()) accept();
    }));
  }

  void take(tcp::socket&& socket) {
    bool too_many = false;
    {
      const std::scoped_lock lock(shared_.mutex);
      if (shared_.open.size() >= 2 * shared_.settings.most_connections) return;  // not even told: just closed
      too_many = shared_.open.size() >= shared_.settings.most_connections;
    }
    const std::shared_ptr<Connection> connection = connect(std::move(socket));
    {
      const std::scoped_lock lock(shared_.mutex);
      shared_.open.emplace(connection.get(), connection);
    }
    connection->start(too_many);
  }

  std::shared_ptr<Connection> connect(tcp::socket&& socket) {
    std::shared_ptr<net::ssl::context> tls;
    {
      const std::scoped_lock lock(shared_.mutex);
      tls = shared_.tls;
    }
    // The stream's session holds the library's context for as long as it lives.
    if (tls) return std::make_shared<StreamConnection<TlsStream>>(shared_, std::move(socket), *tls);
    return std::make_shared<StreamConnection<PlainStream>>(shared_, std::move(socket));
  }

  void finish() {
    acceptor_.close();
    std::vector<std::shared_ptr<Connection>> open;
    {
      const std::scoped_lock lock(shared_.mutex);
      for (const auto& [key, weak] : shared_.open) {
        if (auto connection = weak.lock()) open.push_back(std::move(connection));
      }
    }
    for (const auto& connection : open) connection->finish();
    open.clear();
    wait_for_the_last(std::chrono::steady_clock::now() + shared_.settings.stop_time);
  }

  /// Looks again and again whether all answers are out, and stops everything when the time is over.
  void wait_for_the_last(std::chrono::steady_clock::time_point deadline) {
    again_.expires_after(std::chrono::milliseconds(20));
    again_.async_wait(net::bind_executor(acceptor_.get_executor(), [this, deadline](error_code) {
      bool done = false;
      {
        const std::scoped_lock lock(shared_.mutex);
        done = shared_.open.empty();
      }
      if (done) return;
      if (std::chrono::steady_clock::now() < deadline) return wait_for_the_last(deadline);
      context_.stop();
    }));
  }

  Shared shared_;  // outlives the connections that the context holds
  net::io_context context_;
  tcp::acceptor acceptor_;
  net::steady_timer again_;
};

Server::Server(const ServerSettings& settings) : listener_(std::make_unique<Listener>(settings)) {}
Server::~Server() = default;
std::uint16_t Server::port() const { return listener_->port(); }
void Server::show(const TlsIdentity& identity) { listener_->show(identity); }
void Server::run(const Handle& handle, const std::stop_token& stop, const LargerBody& larger_body) {
  listener_->run(handle, stop, larger_body);
}

}  // namespace throughcure::service
