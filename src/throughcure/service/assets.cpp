#include "throughcure/service/assets.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <utility>

#include "throughcure/base/write_file.hpp"
#include "throughcure/service/token.hpp"

namespace throughcure::service {

namespace {

namespace fs = std::filesystem;

/// One file as found: what it holds, its gzip form where there is one, and the hash of what it holds.
struct Found {
  std::string body;
  std::string gzip;
  std::string hash;
};

std::string hex(const Fingerprint& fingerprint) {
  static constexpr std::string_view digits = "0123456789abcdef";
  std::string out;
  for (const unsigned char byte : fingerprint) {
    out.push_back(digits[byte >> 4U]);
    out.push_back(digits[byte & 15U]);
  }
  return out;
}

std::optional<Found> find(base::EmbeddedFiles files, std::string_view path) {
  const auto file = std::find_if(files.begin(), files.end(), [path](const auto& one) { return one.path == path; });
  if (file == files.end()) return std::nullopt;
  return Found{std::string(file->bytes), std::string(file->gzip), std::string(file->hash)};
}

/// A regular file of the folder; links that lead out of it are not followed.
std::optional<Found> find(const fs::path& folder, std::string_view path) {
  std::error_code error;
  const fs::path root = fs::canonical(folder, error);
  if (error) return std::nullopt;
  const fs::path file = fs::canonical(root / fs::path(path), error);
  if (error || !fs::is_regular_file(file, error)) return std::nullopt;
  if (std::mismatch(root.begin(), root.end(), file.begin(), file.end()).first != root.end()) return std::nullopt;
  std::string body = base::read_file(file);
  std::string hash = hex(fingerprint(body));
  return Found{std::move(body), {}, std::move(hash)};
}

}  // namespace

std::optional<Response> asset_response(const AssetSource& source, std::string_view path, const Request& request) {
  if (path.empty()) return std::nullopt;
  std::optional<Found> found = std::visit([path](const auto& place) { return find(place, path); }, source);
  if (!found) return std::nullopt;
  const bool compressed = !found->gzip.empty() && takes_gzip(request.header("accept-encoding"));
  // Two forms of a file are two things to a cache, so each has its own tag.
  const std::string tag = '"' + found->hash.substr(0, 32) + (compressed ? "-gz" : "") + '"';
  const bool for_good = path.starts_with("assets/");
  Response out;
  out.headers = {{"etag", tag},
                 {"vary", "accept-encoding"},
                 {"cache-control", for_good ? "private, max-age=31536000, immutable" : "no-cache"}};
  if (request.header("if-none-match") == tag) {
    out.status = 304;
    return out;
  }
  out.headers.push_back({"content-type", std::string(media_type(path))});
  if (compressed) out.headers.push_back({"content-encoding", "gzip"});
  out.body = compressed ? std::move(found->gzip) : std::move(found->body);
  return out;
}

std::string_view media_type(std::string_view path) {
  static constexpr std::array<std::pair<std::string_view, std::string_view>, 8> types{{
      {".html", "text/html; charset=utf-8"},
      {".js", "text/javascript; charset=utf-8"},
      {".css", "text/css; charset=utf-8"},
      {".svg", "image/svg+xml"},
      {".png", "image/png"},
      {".json", "application/json"},
      {".txt", "text/plain; charset=utf-8"},
      {".woff2", "font/woff2"},
  }};
  const auto* const type =
      std::find_if(types.begin(), types.end(), [path](const auto& one) { return path.ends_with(one.first); });
  return type == types.end() ? "application/octet-stream" : type->second;
}

bool takes_gzip(std::string_view accept_encoding) {
  const std::size_t at = accept_encoding.find("gzip");
  if (at == std::string_view::npos) return false;
  const std::string_view weight = accept_encoding.substr(at, accept_encoding.find(',', at) - at);
  const std::size_t q = weight.find("q=0");
  return q == std::string_view::npos || weight.find_first_of("123456789", q + 3) != std::string_view::npos;
}

}  // namespace throughcure::service
