// Requests that nobody honest sends, and what each must come to. The status stands beside its
// source; after the whole table the server still answers and its store is sound.
#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include "src/store/store.h"
#include "tests/src/run_perrev.h"
#include "tests/src/server/serving.h"

using namespace perrev::test;
using Json = nlohmann::ordered_json;

namespace {

struct Row {
  std::string what;
  std::string source;
  std::string bytes;  // @H is our host and port
  int status;         // 0: closed without an answer
};

std::string line(const std::string& first, const std::string& headers = "Host: @H\r\n",
                 const std::string& body = {}) {
  return first + "\r\n" + headers + "\r\n" + body;
}

std::string get(const std::string& path, const std::string& more = {}) {
  return line("GET " + path + " HTTP/1.1", "Host: @H\r\n" + more);
}

std::string sends(const std::string& method, const std::string& path, const std::string& body,
                  const std::string& more = "Content-Type: application/json\r\n") {
  return line(method + " " + path + " HTTP/1.1",
              "Host: @H\r\nContent-Length: " + std::to_string(body.size()) + "\r\n" + more, body);
}

std::string entries(const std::string& body) {
  return sends("POST", "/api/cases/case-one/entries", body);
}

std::string entry(const std::string& text) { return entries(R"({"entries":[)" + text + "]}"); }

std::string begins(const std::string& body) { return sends("PUT", "/api/cases/case-two", body); }

std::string repeated(const std::string& text, std::size_t times) {
  std::string out;
  for (std::size_t i = 0; i < times; ++i) out += text;
  return out;
}

const std::string kEntry =
    R"({"id":"a-1","at":"2026-05-04T09:12:00Z","by":"write_up","fact":"complaint_words","value":"shakes"})";

std::vector<Row> traversal() {
  const char* what = "leaves the folder of the page";
  const char* source = "OWASP: path traversal";
  std::vector<Row> out;
  for (const char* path : {"/../../etc/passwd",
                           "/..%2f..%2fetc/passwd",
                           "/%2e%2e/%2e%2e/etc/passwd",
                           "/..%252f..%252fetc%252fpasswd",
                           "/....//....//etc/passwd",
                           "/..\\..\\etc\\passwd",
                           "/..%5c..%5cetc/passwd",
                           "/%c0%ae%c0%ae/etc/passwd",
                           "/..;/..;/etc/passwd",
                           "//etc/passwd",
                           "/index.html/../../etc/passwd",
                           "/index.html%00.js",
                           "/./index.html",
                           "/file:///etc/passwd",
                           "/C:/Windows/win.ini",
                           "/%2e%2e%2fapi%2fcases",
                           "/api/photos/..%2f..%2fetc%2fpasswd",
                           "/api/rules/../../etc/passwd",
                           "/api/cases/..%2f..%2fshop.db",
                           "/.git/config",
                           "/.env",
                           "/shop.db"})
    out.push_back({what, source, get(path), 404});
  return out;
}

std::vector<Row> framing() {
  const std::string json = "Content-Type: application/json\r\n";
  const std::string post = "POST /api/cases/case-one/entries HTTP/1.1";
  return {
      {"length and chunked", "RFC 9112, 6.3 and 11.2",
       line(post, "Host: @H\r\n" + json + "Content-Length: 4\r\nTransfer-Encoding: chunked\r\n",
            "0\r\n\r\nGET /evil HTTP/1.1\r\nHost: @H\r\n\r\n"),
       400},
      {"chunked and length", "RFC 9112, 6.3 and 11.2",
       line(post, "Host: @H\r\n" + json + "Transfer-Encoding: chunked\r\nContent-Length: 4\r\n",
            "0\r\n\r\n"),
       400},
      {"two lengths", "RFC 9112, 6.3",
       line(post, "Host: @H\r\n" + json + "Content-Length: 2\r\nContent-Length: 44\r\n", "{}"),
       400},
      {"two equal lengths", "RFC 9110, 8.6: may be refused",
       line(post, "Host: @H\r\n" + json + "Content-Length: 2\r\nContent-Length: 2\r\n", "{}"), 400},
      {"list of lengths", "RFC 9110, 8.6",
       line(post, "Host: @H\r\n" + json + "Content-Length: 2, 2\r\n", "{}"), 400},
      {"negative length", "RFC 9110, 8.6",
       line(post, "Host: @H\r\n" + json + "Content-Length: -2\r\n", "{}"), 400},
      {"signed length", "RFC 9110, 8.6",
       line(post, "Host: @H\r\n" + json + "Content-Length: +2\r\n", "{}"), 400},
      {"length in hex", "RFC 9110, 8.6",
       line(post, "Host: @H\r\n" + json + "Content-Length: 0x2\r\n", "{}"), 400},
      {"length beyond 64 bits", "RFC 9110, 8.6",
       line(post, "Host: @H\r\n" + json + "Content-Length: 99999999999999999999999\r\n", "{}"),
       400},
      {"no length", "RFC 9110, 15.5.12", line(post, "Host: @H\r\n" + json), 411},
      {"unknown transfer coding", "RFC 9112, 6.1",
       line(post, "Host: @H\r\n" + json + "Transfer-Encoding: gzip\r\n"), 501},
      {"chunked not last", "RFC 9112, 6.3: 400, or 501 by 6.1",
       line(post, "Host: @H\r\n" + json + "Transfer-Encoding: chunked, identity\r\n", "{}"), 501},
      {"disguised chunked", "RFC 9112, 6.1; common practice",
       line(post, "Host: @H\r\n" + json + "Transfer-Encoding: xchunked\r\n", "{}"), 501},
      {"chunked twice", "RFC 9112, 6.1",
       line(post,
            "Host: @H\r\n" + json + "Transfer-Encoding: chunked\r\nTransfer-Encoding: chunked\r\n",
            "0\r\n\r\n"),
       400},
      {"chunked with HTTP/1.0", "RFC 9112, 6.1",
       line("POST /api/cases/case-one/entries HTTP/1.0",
            "Host: @H\r\n" + json + "Transfer-Encoding: chunked\r\n", "0\r\n\r\n"),
       400},
      {"chunk size no number", "RFC 9112, 7.1",
       line(post, "Host: @H\r\n" + json + "Transfer-Encoding: chunked\r\n",
            "zz\r\n{}\r\n0\r\n\r\n"),
       400},
      {"chunk longer than its size", "RFC 9112, 7.1",
       line(post, "Host: @H\r\n" + json + "Transfer-Encoding: chunked\r\n",
            "2\r\n{}{}\r\n0\r\n\r\n"),
       400},
      {"chunk size beyond 64 bits", "RFC 9112, 7.1",
       line(post, "Host: @H\r\n" + json + "Transfer-Encoding: chunked\r\n",
            "fffffffffffffffff\r\n{}\r\n0\r\n\r\n"),
       400},
      {"blank before the colon", "RFC 9112, 5.1",
       line("GET / HTTP/1.1", "Host: @H\r\nContent-Length : 5\r\n", "hello"), 400},
      {"line ends without CR", "RFC 9112, 2.2: may be refused", "GET / HTTP/1.1\nHost: @H\n\n",
       400},
      {"content with GET", "RFC 9110, 9.3.1: may be refused",
       line("GET /api/cases HTTP/1.1", "Host: @H\r\nContent-Length: 2\r\n", "{}"), 400},
  };
}

std::vector<Row> first_lines() {
  return {
      {"no HTTP at all", "RFC 9112, 3", "hello\r\n\r\n", 400},
      {"TLS to a plain port", "RFC 9112, 3",
       std::string("\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n\r\n", 16), 400},
      {"HTTP/0.9", "RFC 9112, 2.3", "GET /\r\n\r\n", 400},
      {"HTTP/1.0", "RFC 9110, 2.5", line("GET /api/about HTTP/1.0"), 200},
      {"HTTP/1.0 without Host", "DNS rebinding; common practice",
       line("GET /api/about HTTP/1.0", ""), 400},
      {"HTTP/2 preface", "RFC 9113, 3.4; RFC 9110, 15.6.6", "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
       505},
      {"HTTP/3.0", "RFC 9110, 15.6.6", line("GET / HTTP/3.0"), 505},
      {"lower case version", "RFC 9112, 2.3 and 3", line("GET / http/1.1"), 400},
      {"CONNECT", "RFC 9110, 9.3.6", line("CONNECT example.org:443 HTTP/1.1"), 405},
      {"TRACE", "RFC 9110, 9.3.8; OWASP: cross-site tracing", line("TRACE / HTTP/1.1"), 405},
      {"OPTIONS", "RFC 9110, 9.3.7", line("OPTIONS * HTTP/1.1"), 405},
      {"unknown method", "RFC 9110, 15.6.2", line("BREW /api/about HTTP/1.1"), 501},
      {"lower case method", "RFC 9110, 9.1: methods are case-sensitive", line("get / HTTP/1.1"),
       501},
      {"method that is no token", "RFC 9110, 5.6.2", line("GE\"T / HTTP/1.1"), 400},
      {"absolute form, ours", "RFC 9112, 3.2.2", line("GET http://@H/api/about HTTP/1.1"), 200},
      {"absolute form, another's", "RFC 9112, 3.2.2; RFC 9110, 15.5.20",
       line("GET http://example.org/api/about HTTP/1.1"), 421},
      {"absolute form, user's part", "RFC 9110, 4.2.4",
       line("GET http://localhost@example.org/ HTTP/1.1"), 421},
      {"other scheme", "RFC 9112, 3.2.2", line("GET ftp://@H/ HTTP/1.1"), 400},
      {"asterisk for GET", "RFC 9112, 3.2.4", line("GET * HTTP/1.1"), 400},
      {"target with a control character", "RFC 9112, 3.2", line("GET /\x01 HTTP/1.1"), 400},
      {"NUL in the target", "RFC 9112, 3.2", line(std::string("GET /a\0b HTTP/1.1", 17)), 400},
      {"blank in the target", "RFC 9112, 3", line("GET /a b HTTP/1.1"), 400},
      {"bad escape in the query", "RFC 3986, 2.1", get("/api/cases?search=%zz"), 400},
      {"query that is no UTF-8", "RFC 3629", get("/api/cases?search=%ff%fe"), 400},
      {"overlong UTF-8", "RFC 3629, 3", get("/api/cases?search=%c0%af"), 400},
      {"surrogate in UTF-8", "RFC 3629, 3", get("/api/cases?search=%ed%a0%80"), 400},
      {"long target", "RFC 9110, 15.5.15", get("/" + std::string(20000, 'a')), 414},
      {"long query", "RFC 9110, 15.5.15", get("/api/cases?search=" + std::string(20000, 'a')), 414},
      {"large header", "RFC 6585, 5", get("/", "X-Long: " + std::string(20000, 'a') + "\r\n"), 431},
      {"many headers", "RFC 6585, 5", get("/", repeated("X-More: a\r\n", 2000)), 431},
      {"NUL in a header", "RFC 9110, 5.5", get("/", std::string("X-Nul: a\0b\r\n", 12)), 400},
      {"control character in a header", "RFC 9110, 5.5", get("/", "X-Bell: a\x07\r\n"), 400},
      {"header without a name", "RFC 9112, 5", get("/", ": nothing\r\n"), 400},
  };
}

std::vector<Row> origins() {
  const std::string json = "Content-Type: application/json\r\n";
  const auto put = [&](const std::string& more) {
    return sends("PUT", "/api/cases/case-cross", R"({"label":"x"})", json + more);
  };
  return {
      {"no Host", "RFC 9112, 3.2", line("GET / HTTP/1.1", ""), 400},
      {"two Hosts", "RFC 9112, 3.2", line("GET / HTTP/1.1", "Host: @H\r\nHost: example.org\r\n"),
       400},
      {"another Host", "DNS rebinding; RFC 9110, 15.5.20",
       line("GET / HTTP/1.1", "Host: example.org\r\n"), 421},
      {"another Host with our port", "DNS rebinding",
       line("GET /api/cases HTTP/1.1", "Host: evil.example:80\r\n"), 421},
      {"our name with another port", "RFC 9110, 7.2",
       line("GET / HTTP/1.1", "Host: localhost:1\r\n"), 421},
      {"our name without a port", "RFC 9110, 4.2.1", line("GET / HTTP/1.1", "Host: localhost\r\n"),
       421},
      {"our name as a prefix", "DNS rebinding",
       line("GET / HTTP/1.1", "Host: localhost.evil.example\r\n"), 421},
      {"empty Host", "RFC 9112, 3.2", line("GET / HTTP/1.1", "Host:\r\n"), 421},
      {"address of any", "common practice", line("GET / HTTP/1.1", "Host: 0.0.0.0\r\n"), 421},
      {"another Origin writes", "RFC 6454, 7; OWASP: CSRF", put("Origin: https://evil.example\r\n"),
       403},
      {"another Origin reads", "RFC 6454, 7", get("/api/cases", "Origin: https://evil.example\r\n"),
       403},
      {"null Origin", "RFC 6454, 7.3", put("Origin: null\r\n"), 403},
      {"our host under another scheme", "RFC 6454, 4", put("Origin: https://@H\r\n"), 403},
      {"our host under another port", "RFC 6454, 4", put("Origin: http://localhost:1\r\n"), 403},
      {"Origin with ours in front", "RFC 6454, 4", put("Origin: http://@H.evil.example\r\n"), 403},
      {"two Origins", "RFC 6454, 7", put("Origin: http://@H\r\nOrigin: https://evil.example\r\n"),
       403},
      {"from another site", "W3C Fetch Metadata", put("Sec-Fetch-Site: cross-site\r\n"), 403},
      {"from a neighbour site", "W3C Fetch Metadata", put("Sec-Fetch-Site: same-site\r\n"), 403},
      {"form", "OWASP: CSRF; WHATWG Fetch, CORS-safelisted",
       sends("PUT", "/api/cases/case-cross", "a=b",
             "Content-Type: application/x-www-form-urlencoded\r\n"),
       415},
      {"plain text", "OWASP: CSRF",
       sends("POST", "/api/answers/tire", "{}", "Content-Type: text/plain\r\n"), 415},
      {"multipart", "OWASP: CSRF",
       sends("POST", "/api/answers/tire", "{}",
             "Content-Type: multipart/form-data; boundary=a\r\n"),
       415},
      {"no type", "RFC 9110, 8.3", sends("POST", "/api/answers/tire", "{}", ""), 415},
      {"two types", "RFC 9110, 8.3",
       sends("POST", "/api/answers/tire", "{}", json + "Content-Type: text/plain\r\n"), 415},
      {"other character set", "RFC 8259, 8.1",
       sends("POST", "/api/answers/tire", "{}",
             "Content-Type: application/json; charset=utf-16\r\n"),
       415},
      {"coded content", "RFC 9110, 8.4.1",
       sends("POST", "/api/answers/tire", "{}", json + "Content-Encoding: gzip\r\n"), 415},
  };
}

std::vector<Row> methods() {
  return {
      {"DELETE of a case", "RFC 9110, 15.5.6", line("DELETE /api/cases/case-one HTTP/1.1"), 405},
      {"DELETE of an entry", "RFC 9110, 15.5.5",
       line("DELETE /api/cases/case-one/entries/1 HTTP/1.1"), 404},
      {"PUT of the list", "RFC 9110, 15.5.6", sends("PUT", "/api/cases", "{}"), 405},
      {"POST to the page", "RFC 9110, 15.5.6", sends("POST", "/", "{}"), 405},
      {"PUT of a file", "RFC 9110, 15.5.6", sends("PUT", "/index.html", "<p>"), 405},
      {"GET of entries", "RFC 9110, 15.5.6", get("/api/cases/case-one/entries"), 405},
      {"unknown path", "RFC 9110, 15.5.5", get("/api/nothing"), 404},
      {"path with a slash more", "RFC 3986, 6.2", get("/api/cases/"), 404},
      {"the API itself", "RFC 9110, 15.5.5", get("/api/"), 404},
      {"unknown answer", "RFC 9110, 15.5.5", sends("POST", "/api/answers/everything", "{}"), 404},
      {"rules of another digest", "RFC 9110, 15.5.5", get("/api/rules/0000"), 404},
      {"case that is not there", "RFC 9110, 15.5.5", get("/api/cases/no-such-case"), 404},
      {"entries of no case", "RFC 9110, 15.5.5",
       sends("POST", "/api/cases/no-such-case/entries", R"({"entries":[)" + kEntry + "]}"), 404},
      {"events of no case", "RFC 9110, 15.5.5", get("/api/cases/no-such-case/events"), 404},
      {"diagnosis of no case", "RFC 9110, 15.5.5", get("/api/cases/no-such-case/diagnosis"), 404},
      {"photo that is not there", "RFC 9110, 15.5.5", get("/api/photos/" + std::string(64, '0')),
       404},
      {"id with capitals", "RFC 9110, 15.5.21", sends("PUT", "/api/cases/Case-Capital", "{}"), 422},
      {"short id", "RFC 9110, 15.5.21", sends("PUT", "/api/cases/abc", "{}"), 422},
      {"long id", "RFC 9110, 15.5.21", sends("PUT", "/api/cases/" + std::string(41, 'a'), "{}"),
       422},
      {"SQL as an id", "OWASP: injection",
       sends("PUT", "/api/cases/x';DROP-TABLE-entries;--", "{}"), 422},
      {"seq that is no number", "RFC 9110, 15.5.1", get("/api/events?after=abc"), 400},
      {"negative seq", "RFC 9110, 15.5.1", get("/api/events?after=-1"), 400},
      {"seq beyond 64 bits", "RFC 9110, 15.5.1", get("/api/events?after=99999999999999999999"),
       400},
      {"Last-Event-ID that is no number", "RFC 9110, 15.5.1",
       get("/api/events", "Last-Event-ID: 1 OR 1=1\r\n"), 400},
      {"limit beyond all", "RFC 9110, 15.5.1", get("/api/cases?limit=1000000"), 400},
      {"SQL as a search", "OWASP: injection", get("/api/cases?search=%27%20OR%201%3D1%3B--"), 200},
      {"search in the index's language", "SQLite FTS5, 3",
       get("/api/cases?search=%22%20NEAR(%20*%20%5E"), 200},
      {"report for nobody", "RFC 9110, 15.5.1", get("/api/cases/case-one/report?for=%3Cscript%3E"),
       400},
      {"forged cookie", "OWASP: session management",
       get("/api/about", "Cookie: __Host-perrev=admin\r\n"), 200},
  };
}

std::vector<Row> bodies() {
  return {
      {"no JSON", "RFC 8259", begins("hello"), 400},
      {"half an object", "RFC 8259", begins(R"({"label":)"), 400},
      {"comma too many", "RFC 8259", begins(R"({"label":"x",})"), 400},
      {"single quotes", "RFC 8259, 7", begins("{'label':'x'}"), 400},
      {"comment", "RFC 8259", begins(R"({"label":"x"/**/})"), 400},
      {"two values", "RFC 8259, 2", begins("{}{}"), 400},
      {"list", "the interface", begins("[]"), 400},
      {"null", "the interface", begins("null"), 400},
      {"NaN", "RFC 8259, 6", begins(R"({"label":NaN})"), 400},
      {"number beyond all", "RFC 8259, 6", begins(R"({"x":1e999})"), 400},
      {"whole number beyond 64 bits", "RFC 8259, 6: digits would be lost",
       begins(R"({"x":123456789012345678901234567890})"), 400},
      {"whole number beyond 64 bits in an entry", "RFC 8259, 6: digits would be lost",
       entry(
           R"({"id":"z-8","at":"2026-05-04T09:12:00Z","by":"bay","fact":"complaint_words","value":"x","n":-9223372036854775809})"),
       400},
      {"leading nought", "RFC 8259, 6", begins(R"({"x":012})"), 400},
      {"key twice", "RFC 8259, 4", begins(R"({"label":"a","label":"b"})"), 400},
      {"key twice, escaped", "RFC 8259, 4", begins(R"({"label":"a","\u006cabel":"b"})"), 400},
      {"raw line end in a text", "RFC 8259, 7", begins("{\"label\":\"a\nb\"}"), 400},
      {"NUL byte", "RFC 8259, 7", begins(std::string("{\"label\":\"a\0b\"}", 15)), 400},
      {"text that is no UTF-8", "RFC 8259, 8.1", begins("{\"label\":\"\xff\xfe\"}"), 400},
      {"overlong UTF-8 in JSON", "RFC 3629", begins("{\"label\":\"\xc0\xaf\"}"), 400},
      {"half a surrogate pair", "RFC 8259, 8.2", begins(R"({"label":"\ud800"})"), 400},
      {"nested 60 deep", "RFC 8259, 9",
       begins(R"({"x":)" + repeated("[", 60) + repeated("]", 60) + "}"), 400},
      {"nested 30,000 deep", "RFC 8259, 9",
       begins(R"({"x":)" + repeated("[", 30000) + repeated("]", 30000) + "}"), 400},
      {"UTF-16", "RFC 8259, 8.1", begins(std::string("\xff\xfe{\0}\0", 6)), 400},
      {"content beyond the limit", "RFC 9110, 15.5.14",
       begins("{\"x\":\"" + std::string(70000, 'a') + "\"}"), 413},
      {"content announced beyond all", "RFC 9110, 15.5.14",
       line("PUT /api/cases/case-two HTTP/1.1",
            "Host: @H\r\nContent-Type: application/json\r\nContent-Length: 99999999999\r\n"),
       413},
      {"chunks beyond the limit", "RFC 9110, 15.5.14",
       line("PUT /api/cases/case-two HTTP/1.1",
            "Host: @H\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n",
            "20000\r\n" + std::string(0x20000, 'a') + "\r\n0\r\n\r\n"),
       413},
      {"no entries", "the interface", entries("{}"), 422},
      {"empty entries", "the interface", entries(R"({"entries":[]})"), 422},
      {"entries that are a text", "the interface", entries(R"({"entries":"all"})"), 422},
      {"entry that is a number", "the interface", entry("7"), 422},
      {"entry without an id", "the interface",
       entry(R"({"at":"2026-05-04T09:12:00Z","by":"bay","fact":"pull","value":"no"})"), 422},
      {"entry of a fact that is not known", "the interface",
       entry(
           R"({"id":"z-1","at":"2026-05-04T09:12:00Z","by":"bay","fact":"__proto__","value":"no"})"),
       422},
      {"entry with no moment", "ISO 8601",
       entry(R"({"id":"z-2","at":"yesterday","by":"bay","fact":"complaint_words","value":"x"})"),
       422},
      {"entry by nobody", "the interface",
       entry(
           R"({"id":"z-3","at":"2026-05-04T09:12:00Z","by":"root","fact":"complaint_words","value":"x"})"),
       422},
      {"entry that takes back another case's", "the interface",
       entry(R"({"id":"z-4","at":"2026-05-04T09:12:00Z","by":"bay","retracts":"nobody-1"})"), 422},
      {"one of two entries wrong: neither is kept", "the interface",
       entry(
           R"({"id":"z-5","at":"2026-05-04T09:12:00Z","by":"bay","fact":"complaint_words","value":"x"},{"id":"z-6"})"),
       422},
      {"large entry", "RFC 9110, 15.5.14",
       entry(
           R"({"id":"z-7","at":"2026-05-04T09:12:00Z","by":"bay","fact":"complaint_words","value":")" +
           std::string(20000, 'a') + "\"}"),
       413},
      {"first of an id", "the interface", entry(kEntry), 200},
      {"same id, same content", "RFC 9110, 9.2.2: may be repeated", entry(kEntry), 200},
      {"same id, other content", "RFC 9110, 15.5.10",
       entry(
           R"({"id":"a-1","at":"2026-05-04T09:12:00Z","by":"write_up","fact":"complaint_words","value":"hums"})"),
       409},
      {"same case, same head", "RFC 9110, 9.3.4",
       sends("PUT", "/api/cases/case-one", R"({"label":"one"})"), 200},
      {"same case, other head", "RFC 9110, 15.5.10",
       sends("PUT", "/api/cases/case-one", R"({"label":"other"})"), 409},
      {"head with entries", "the interface",
       sends("PATCH", "/api/cases/case-one", R"({"entries":[{"id":"1"}]})"), 422},
      {"script that calls itself a photo", "OWASP: file upload",
       sends("POST", "/api/cases/case-one/photos", "<script>alert(1)</script>",
             "Content-Type: image/png\r\n"),
       422},
      {"SVG as a photo", "OWASP: file upload",
       sends("POST", "/api/cases/case-one/photos", "<svg/>", "Content-Type: image/svg+xml\r\n"),
       415},
      {"large photo", "RFC 9110, 15.5.14",
       line("POST /api/cases/case-one/photos HTTP/1.1",
            "Host: @H\r\nContent-Type: image/png\r\nContent-Length: 3000000\r\n"),
       413},
      {"empty JSON", "RFC 8259", sends("POST", "/api/answers/diagnosis", "{}"), 422},
      {"case of a later version", "the format of cases",
       sends("POST", "/api/answers/diagnosis", R"({"case":{"perrev_case":99,"entries":[]}})"), 422},
  };
}

std::string filled(std::string bytes, const std::string& host) {
  for (std::size_t at = 0; (at = bytes.find("@H", at)) != std::string::npos; at += host.size())
    bytes.replace(at, 2, host);
  return bytes;
}

// Every refusal is {"problems": [{what, right?, where?}]}.
void check_problems(const Answer& answer) {
  const Json body = Json::parse(answer.body, nullptr, false);
  REQUIRE(body.is_object());
  CHECK(body.size() == 1);
  REQUIRE(body.contains("problems"));
  REQUIRE(!body["problems"].empty());
  for (const auto& item : body["problems"]) {
    CHECK(item["what"].is_string());
    for (const auto& [key, value] : item.items()) {
      CHECK((key == "what" || key == "right" || key == "where"));
      CHECK(value.is_string());
    }
  }
}

}  // namespace

TEST_CASE("every hostile request gets its status, and none harms the server or its store") {
  const Folder folder;
  const std::string store = folder.path("shop.db");
  {
    const Serving server(store);
    REQUIRE(server.port() != 0);
    REQUIRE(ask(server, "PUT", "/api/cases/case-one", R"({"label":"one"})").status == 201);
    std::size_t rows = 0;
    for (const auto& table :
         {traversal(), framing(), first_lines(), origins(), methods(), bodies()})
      for (const Row& row : table) {
        ++rows;
        CAPTURE(row.what);
        CAPTURE(row.source);
        Client client(server.port());
        client.send(filled(row.bytes, server.host()));
        const Answer answer = client.answer();
        CHECK(answer.status == row.status);
        if (answer.status == 0) continue;
        CHECK(answer.headers.at("x-content-type-options") == "nosniff");
        CHECK(answer.headers.count("content-security-policy") == 1);
        if (answer.status >= 400) {
          CHECK(answer.headers.at("content-type") == "application/json");
          check_problems(answer);
        }
      }
    CHECK(rows >= 100);
    CHECK(ask(server, "GET", "/api/about").status == 200);
    const Json kept = Json::parse(ask(server, "GET", "/api/cases/case-one").body);
    CHECK(kept["case"]["entries"].size() == 1);
    CHECK(ask(server, "GET", "/api/cases/case-cross").status == 404);
    CHECK(ask(server, "GET", "/api/cases/case-two").status == 404);
  }
  const auto opened = perrev::Store::open(store, perrev::Store::Mode::existing);
  REQUIRE(opened.ok());
  const auto found = (*opened)->check();
  REQUIRE(found.ok());
  CHECK(found->empty());
}

TEST_CASE("whatever is written into a text comes back as it was, and only as JSON") {
  const Folder folder;
  const Serving server(folder.path("shop.db"));
  REQUIRE(ask(server, "PUT", "/api/cases/case-text", R"({"label":""})").status == 201);
  const char* const texts[] = {
      "'; DROP TABLE additions; --",  // OWASP: SQL injection
      "\" OR \"\"=\"",
      "<script>alert(1)</script>",  // OWASP: cross-site scripting
      "<img src=x onerror=alert(1)>",
      "javascript:alert(1)",
      "{{7*7}} ${7*7} <%= 7*7 %>",  // OWASP: template injection
      "=HYPERLINK(\"http://evil.example\")",
      "$(reboot) `reboot` | reboot",  // OWASP: command injection
      "../../etc/passwd",
      "%00 %0d%0aSet-Cookie: a=b",  // OWASP: header injection
      "\u202e right to left \u2066",
      "\U0001F527 \u00e9\u0301 \uffff",
  };
  int number = 0;
  for (const char* text : texts) {
    CAPTURE(text);
    const Json entry = {{"id", "t-" + std::to_string(++number)},
                        {"at", "2026-05-04T09:12:00Z"},
                        {"by", "write_up"},
                        {"who", text},
                        {"fact", "complaint_words"},
                        {"value", text},
                        {"note", text}};
    CHECK(ask(server, "POST", "/api/cases/case-text/entries", Json{{"entries", {entry}}}.dump())
              .status == 200);
    CHECK(ask(server, "PATCH", "/api/cases/case-text", Json{{"label", text}}.dump()).status == 200);
    const Answer answer = ask(server, "GET", "/api/cases/case-text");
    CHECK(answer.headers.at("content-type") == "application/json");
    CHECK(answer.headers.at("x-content-type-options") == "nosniff");
    const Json kept = Json::parse(answer.body);
    CHECK(kept["case"]["label"] == text);
    CHECK(kept["case"]["entries"].back() == entry);
  }
}
