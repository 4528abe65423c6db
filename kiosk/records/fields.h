// SPDX-License-Identifier: Apache-2.0
// A struct's fields are named once, in a function that both reading and writing go through:
//
//   template <class Io> void fields(Io& io, Either<SignedOut> auto& it) { io("person", it.person);
//   }
#pragma once

#include <concepts>
#include <type_traits>

namespace lastlook::records {

// T or const T: what is written is const, what is read is not.
template <class Given, class T>
concept Either = std::same_as<std::remove_const_t<Given>, T>;

}  // namespace lastlook::records
