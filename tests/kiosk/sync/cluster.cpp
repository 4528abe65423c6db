// SPDX-License-Identifier: Apache-2.0
#include "tests/kiosk/sync/cluster.h"

#include <arpa/inet.h>
#include <fmt/format.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <filesystem>
#include <stdexcept>

// libpqxx 6.4 loses the last answer of a connection that breaks, 2 kB each time; it is not ours to
// free.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() {
  return "leak:libpqxx";
}

namespace lastlook::sync::testing {
namespace {

namespace fs = std::filesystem;

int free_port() {
  const int one = socket(AF_INET, SOCK_STREAM, 0);
  sockaddr_in at{};
  at.sin_family = AF_INET;
  at.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  socklen_t size = sizeof at;
  bind(one, reinterpret_cast<sockaddr*>(&at), size);
  getsockname(one, reinterpret_cast<sockaddr*>(&at), &size);
  close(one);
  return ntohs(at.sin_port);
}

// The newest server that Debian has installed.
std::string newest_bin() {
  std::string best;
  std::error_code error;
  for (const auto& version : fs::directory_iterator("/usr/lib/postgresql", error))
    best = std::max(best, (version.path() / "bin").string());
  if (best.empty()) throw std::runtime_error("no PostgreSQL server, expected Debian's postgresql");
  return best;
}

}  // namespace

Cluster& Cluster::running() {
  static Cluster one;
  return one;
}

Cluster& Cluster::second() {
  static Cluster one;
  return one;
}

Cluster& Cluster::durable() {
  static Cluster one(Disk::as_set_up);
  return one;
}

std::string Cluster::run(const std::string& command) const {
  // A server refuses to run as root; Debian makes the user postgres for it.
  const std::string whole = geteuid() == 0
                                ? fmt::format("runuser -u postgres -- sh -c '{}' 2>&1", command)
                                : fmt::format("sh -c '{}' 2>&1", command);
  FILE* pipe = popen(whole.c_str(), "r");
  std::string said;
  std::array<char, 4096> piece{};
  while (const std::size_t n = fread(piece.data(), 1, piece.size(), pipe))
    said.append(piece.data(), n);
  if (pclose(pipe) != 0) throw std::runtime_error(command + ": " + said);
  return said;
}

Cluster::Cluster(Disk disk) : bin_(newest_bin()), port_(free_port()), disk_(disk) {
  std::string pattern = (fs::temp_directory_path() / "lastlook-pg-XXXXXX").string();
  folder_ = mkdtemp(pattern.data());
  fs::permissions(folder_, fs::perms::all);
  run(fmt::format("{}/initdb --no-sync -D {}/data -A trust -U admin -E UTF8 --locale=C", bin_,
                  folder_));
  start();
  sql("postgres", "CREATE ROLE owner LOGIN; CREATE ROLE ll1 LOGIN; CREATE ROLE ll2 LOGIN");
}

Cluster::~Cluster() {
  try {
    stop();
  } catch (const std::exception& error) {
    fmt::print(stderr, "{}\n", error.what());
  }
  std::error_code ignored;
  fs::remove_all(folder_, ignored);
}

void Cluster::start() {
  run(
      fmt::format("{0}/pg_ctl -D {1}/data -l {1}/log -w start -o \"-p {2} -k {1} {3} "
                  "-c listen_addresses=127.0.0.1\" >/dev/null",
                  bin_, folder_, port_, disk_ == Disk::left_alone ? "-c fsync=off" : ""));
}

void Cluster::use_tls(const std::string& certificate, const std::string& key) {
  run(
      fmt::format("cp {0} {2}/data/server.crt && cp {1} {2}/data/server.key && "
                  "chmod 600 {2}/data/server.key",
                  certificate, key, folder_));
  sql("postgres", "ALTER SYSTEM SET ssl = on");
  stop();  // a reload says nothing of when it is done
  start();
}

void Cluster::stop() {
  run(fmt::format("{}/pg_ctl -D {}/data -m immediate -w stop", bin_, folder_));
}

std::string Cluster::address(const std::string& login, const std::string& database) const {
  return fmt::format("postgresql://{}@127.0.0.1:{}/{}", login, port_, database);
}

std::string Cluster::new_database(const std::string& made_with) {
  const std::string name = fmt::format("plant_{}", ++databases_);
  sql("postgres", fmt::format("CREATE DATABASE {} OWNER owner {}", name, made_with));
  return name;
}

std::string Cluster::sql(const std::string& database, const std::string& text) const {
  std::string said;
  for (std::size_t from = 0; from < text.size();) {
    const auto end = std::min(text.find(';', from), text.size());
    said += run(fmt::format("{}/psql -h {} -p {} -U admin -v ON_ERROR_STOP=1 -qAt -c \"{}\" {}",
                            bin_, folder_, port_, text.substr(from, end - from), database));
    from = end + 1;
  }
  return said;
}

}  // namespace lastlook::sync::testing
