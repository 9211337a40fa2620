#include "contract/places.hpp"

#include <array>
#include <cstdlib>
#include <filesystem>
#include <stdexcept>

#include <unistd.h>

#include "throughcure/store/session.hpp"

namespace throughcure::tests {

namespace {

class FileGround : public Ground {
 public:
  FileGround() {
    std::string name = (std::filesystem::temp_directory_path() / "throughcure_store_XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no folder for the test");
    folder_ = name;
  }
  ~FileGround() override {
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
  }
  [[nodiscard]] store::Place place() const override { return store::InFile{folder_ / "records.db"}; }

 private:
  std::filesystem::path folder_;
};

class ServerGround : public Ground {
 public:
  ServerGround() {
    // NOLINTNEXTLINE(concurrency-mt-unsafe): nothing here changes the environment
    const char* const server = std::getenv("THROUGHCURE_TEST_SERVER");
    if (server == nullptr) {
      throw std::runtime_error("no PostgreSQL: run this program by tests/contract/with_postgresql.sh");
    }
    static int made = 0;
    server_ = std::string(server) + " options='-c client_min_messages=warning'";
    schema_ = "test_" + std::to_string(getpid()) + "_" + std::to_string(++made);
    store::Session(store::OnServer{server_}).run("CREATE SCHEMA " + schema_);
  }
  ~ServerGround() override {
    try {
      store::Session(store::OnServer{server_}).run("DROP SCHEMA " + schema_ + " CASCADE");
    } catch (const std::exception&) {  // NOLINT(bugprone-empty-catch): the server goes with the test
    }
  }
  [[nodiscard]] store::Place place() const override {
    return store::OnServer{server_ + " options='-c client_min_messages=warning -c search_path=" + schema_ + "'"};
  }

 private:
  std::string server_;
  std::string schema_;
};

}  // namespace

std::unique_ptr<Ground> ground_called(const std::string& name) {
  if (name == "file") return std::make_unique<FileGround>();
  return std::make_unique<ServerGround>();
}

}  // namespace throughcure::tests
