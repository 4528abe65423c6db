// SPDX-License-Identifier: Apache-2.0
// How every library here says that something did not work: a value with a category, which a
// program acts on, and a sentence, which a person reads.
#pragma once

#include <string>
#include <tl/expected.hpp>
#include <utility>

namespace lastlook {

enum class Category {
  bad_input,  // what was given cannot be understood; the sentence says where and what was expected
  not_found,  // the thing asked for is not there
  refused,    // understood, but a rule says no
  damaged,    // stored data contradicts itself
  newer,      // written by a later version of the program
  busy,       // another program holds it
  io,         // the disk, the camera or the network did not do it
};

struct Error {
  Category category = Category::io;
  std::string message;  // one sentence without a final full stop
};

template <class T>
using Result = tl::expected<T, Error>;
using Status = Result<void>;

inline tl::unexpected<Error> fail(Category category, std::string message) {
  return tl::unexpected<Error>(Error{category, std::move(message)});
}

}  // namespace lastlook
