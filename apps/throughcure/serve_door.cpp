#include "serve_door.hpp"

#include <ostream>
#include <utility>
#include <vector>

#include "throughcure/base/instant.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/service/certificate.hpp"
#include "throughcure/service/local_certificate.hpp"
#include "throughcure/service/machine_hosts.hpp"
#include "throughcure/service/sessions.hpp"
#include "throughcure/service/tls_identity.hpp"

namespace throughcure::apps {

namespace {

/// Several phones and tablets, each with the six connections that a browser takes; chosen here.
constexpr std::size_t kMostConnectionsFromTheNetwork = 256;

void check_address(const std::string& address) {
  if (service::is_ip_address(address) && address.find(':') == std::string::npos) return;
  throw base::InputError({{{},
                           0,
                           0,
                           "--address",
                           "\"" + address + "\" is no IPv4 address as numbers",
                           "Give one of this machine's, as 192.168.1.5, or leave it out to listen on all of them"}});
}

}  // namespace

void add_door_options(CLI::App& command, DoorOptions& options) {
  command.add_option("--port", options.port, "port to listen on; 0 for any that is free")->capture_default_str();
  CLI::Option* lan =
      command.add_flag("--lan", options.lan, "let this machine's network in, over TLS; else nobody else");
  command.add_option("--address", options.address, "with --lan: listen on this address of the machine only")
      ->needs(lan);
  CLI::Option* certificate =
      command.add_option("--certificate", options.certificate,
                         "with --lan: a certificate in PEM and the ones above it; else the program makes its own");
  CLI::Option* key = command.add_option("--key", options.key, "with --certificate: its private key in PEM");
  certificate->needs(lan)->needs(key);
  key->needs(certificate);
}

Door door_of(const DoorOptions& options, const std::filesystem::path& data_folder) {
  Door door;
  door.server.port = options.port;
  if (!options.lan) return door;

  check_address(options.address);
  door.server.address = options.address;
  door.server.most_connections = kMostConnectionsFromTheNetwork;
  door.reach.tls = true;
  const service::MachineHosts machine = service::machine_hosts();
  door.own_certificate = options.certificate.empty();
  if (door.own_certificate) {
    door.reach.hosts = service::hosts_of_listener(options.address, machine);
    door.current_certificate = [data_folder, hosts = door.reach.hosts] {
      return service::local_certificate(data_folder, hosts, service::system_now());
    };
    door.server.tls = door.current_certificate();
  } else {
    door.current_certificate = [certificate = options.certificate, key = options.key] {
      return service::read_tls_identity(certificate, key);
    };
    const auto& identity = door.server.tls.emplace(door.current_certificate());
    const auto facts = service::certificate_facts(identity.certificate_pem);
    door.reach.hosts =
        service::hosts_of_listener(options.address, machine, facts ? facts->hosts : std::vector<std::string>());
  }
  return door;
}

void say_door(std::ostream& out, const Door& door) {
  if (!door.server.tls) return;
  const service::TlsIdentity& identity = *door.server.tls;
  for (std::size_t i = 1; i < door.reach.hosts.size(); ++i) {
    out << (i == 1 ? "Also at: " : ", ") << "https://" << service::authority(door.reach, door.reach.hosts[i]) << '/';
  }
  if (door.reach.hosts.size() > 1) out << '\n';
  const auto facts = service::certificate_facts(identity.certificate_pem);
  if (!facts) return;
  out << "Its certificate is valid until " << base::instant_text(facts->ends).substr(0, 10)
      << "; its SHA-256 fingerprint: " << facts->fingerprint_sha256 << '\n';
  if (!door.own_certificate) return;
  out << "This machine made the certificate itself, so a phone warns of it once: compare the fingerprint that the "
         "phone "
         "shows with this one before you accept it.\n";
}

}  // namespace throughcure::apps
