// Who may reach the page: this machine alone, or its network over TLS.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <iosfwd>
#include <string>

#include <CLI/CLI.hpp>

#include "throughcure/service/guard.hpp"
#include "throughcure/service/server.hpp"

namespace throughcure::apps {

/// What the command line said of it.
struct DoorOptions {
  std::uint16_t port = 8420;
  bool lan = false;
  std::string address = "0.0.0.0";  ///< with lan: where to listen; this is every address
  std::string certificate;          ///< with lan: file of a certificate, and of its key; without, one of our own
  std::string key;
};

void add_door_options(CLI::App& command, DoorOptions& options);

/// Where to listen and what to be called there.
struct Door {
  service::ServerSettings server;
  service::Reach reach;          ///< its port is known once the server listens
  bool own_certificate = false;  ///< that this machine made itself
  /// With TLS: the certificate as it should be shown now; one of our own is made anew before it ends, files that were
  /// named are read again. Throws as door_of does.
  std::function<service::TlsIdentity()> current_certificate;
};

/// Without lan, 127.0.0.1 over plain HTTP; with it, the network over TLS and never without. A certificate of our own is
/// kept in the data folder. Throws base::InputError when an option cannot be used, base::Failure when a certificate
/// cannot be made.
Door door_of(const DoorOptions& options, const std::filesystem::path& data_folder);

/// Says the other addresses, and how to know the certificate again. Nothing where there is no TLS.
void say_door(std::ostream& out, const Door& door);

}  // namespace throughcure::apps
