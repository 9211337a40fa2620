// A request and its answer as plain values; what carries them over the wire is in server.cpp alone.
#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace throughcure::service {

enum class Method { get, head, post, put, patch, del, other };

/// One header line; the name in lower case.
struct Header {
  std::string name;
  std::string value;
};

/// What a client asked for. `target` is as sent: path and query, still percent-encoded.
struct Request {
  Method method = Method::get;
  std::string target = "/";
  std::vector<Header> headers;
  std::string body;
  std::string from{};  ///< address that it came from, without a port

  /// The value of a header (`name` in lower case). Empty when it is absent, and also when it was sent more than once:
  /// two different hosts or cookies are never guessed between.
  [[nodiscard]] std::string_view header(std::string_view name) const;
};

/// What goes back. Content-Length and Connection are the server's business, everything else stands here.
struct Response {
  int status = 200;
  std::vector<Header> headers;
  std::string body;
};

/// Takes the answer to one request: called once, from any thread; dropping it uncalled closes the connection.
using Reply = std::function<void(Response)>;

/// Answers requests. Called on a thread of the server, so it must not compute: it replies at once or leaves the reply
/// with a job.
using Handle = std::function<void(Request, Reply)>;

/// Told a request without its body, says how many bytes that may have where it is more than anybody's may; 0: it may
/// not. Called on a thread of the server.
using LargerBody = std::function<std::size_t(const Request& head)>;

/// An answer of a stated media type ("text/html; charset=utf-8").
Response text_response(int status, std::string_view media_type, std::string body);

}  // namespace throughcure::service
