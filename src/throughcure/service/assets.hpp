// The files of the page: embedded in the binary, or read from a folder while somebody works on them.
#pragma once

#include <filesystem>
#include <optional>
#include <span>
#include <string_view>
#include <variant>

#include "throughcure/base/embedded.hpp"
#include "throughcure/service/http.hpp"

namespace throughcure::service {

/// Where the files of the page come from.
using AssetSource = std::variant<base::EmbeddedFiles, std::filesystem::path>;

/// The answer with one file ("assets/index.js"), compressed where the client takes it, or 304 where it has it already;
/// nothing when there is no such file. Files below "assets/" carry their hash in their names and may be kept for good.
std::optional<Response> asset_response(const AssetSource& source, std::string_view path, const Request& request);

/// The media type of a file by its ending; "application/octet-stream" when it is none that the page uses.
std::string_view media_type(std::string_view path);

/// Whether an Accept-Encoding header takes gzip.
bool takes_gzip(std::string_view accept_encoding);

}  // namespace throughcure::service
