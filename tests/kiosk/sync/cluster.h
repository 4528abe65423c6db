// SPDX-License-Identifier: Apache-2.0
// A PostgreSQL server of the tests' own, on a free port of this machine, gone at the end.
#pragma once

#include <string>

namespace lastlook::sync::testing {

class Cluster {
 public:
  // The one of this process, started when first asked for. It waits for no disk: what is killed
  // here is a program, never the machine, and after a kill it would sync each file of each
  // database.
  static Cluster& running();
  // And another, on a port of its own.
  static Cluster& second();
  // One that waits for its disk, to be measured.
  static Cluster& durable();

  // A fresh, empty database, made with these words of CREATE DATABASE; its owner is "owner". Logins
  // "ll1" and "ll2" exist.
  std::string new_database(const std::string& made_with = "");
  std::string address(const std::string& login, const std::string& database) const;
  // Runs SQL as the server's administrator; says what psql printed.
  std::string sql(const std::string& database, const std::string& text) const;
  // From now on it also talks TLS, as whoever this certificate says it is.
  void use_tls(const std::string& certificate, const std::string& key);
  void stop();   // at once: its programs are killed
  void start();  // and waits until it answers

 private:
  enum class Disk { left_alone, as_set_up };
  explicit Cluster(Disk disk = Disk::left_alone);
  ~Cluster();
  std::string run(const std::string& command) const;  // as a user that may run a server
  std::string folder_, bin_;
  int port_ = 0, databases_ = 0;
  Disk disk_;
};

}  // namespace lastlook::sync::testing
