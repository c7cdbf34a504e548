// Boost 1.74's Asio and Beast under C++20: it uses std::exchange without including <utility>.
#pragma once

#include <utility>
// The one above must come first.
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/ssl/context.hpp>
