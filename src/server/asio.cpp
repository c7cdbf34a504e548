// The bodies of Asio and Beast, compiled once instead of in every file that uses them.
#include "src/server/asio.h"
// As above.
#include <boost/asio/impl/src.hpp>
#include <boost/asio/ssl/impl/src.hpp>
#include <boost/beast/src.hpp>
