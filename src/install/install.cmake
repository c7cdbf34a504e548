# `cmake --install build --prefix P`, and `cpack -G DEB` in the build folder for a Debian package of the same. Nothing
# installed knows where it was built, nor P: the program finds its rule base by its own place (src/rules.h).
include(GNUInstallDirs)
set(CMAKE_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS
  OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(manual ${CMAKE_BINARY_DIR}/src/manual)
set(made ${CMAKE_BINARY_DIR}/install)

# The page is in the program, with the engine for it where that was built.
install(TARGETS perrev)
install(DIRECTORY rules cases DESTINATION ${CMAKE_INSTALL_DATADIR}/perrev)

# The page's libraries are known once the page is put together.
set(copyright ${CMAKE_CURRENT_LIST_DIR}/copyright.in)
add_custom_command(OUTPUT ${made}/copyright
  COMMAND ${CMAKE_COMMAND} -DHEAD=${copyright} -DLICENCES=${CMAKE_BINARY_DIR}/page/lib/LICENSES.txt
    -DOUT=${made}/copyright -P ${CMAKE_CURRENT_LIST_DIR}/copyright.cmake
  DEPENDS ${copyright} ${CMAKE_CURRENT_LIST_DIR}/copyright.cmake perrev_page
  COMMENT "Writing the copyright file")
set(ENV{LC_ALL} C)
string(TIMESTAMP PERREV_DATE_IN_WORDS "%a, %d %b %Y %H:%M:%S +0000" UTC)
configure_file(${CMAKE_CURRENT_LIST_DIR}/changelog.in ${made}/changelog @ONLY)
add_custom_command(OUTPUT ${made}/changelog.gz
  COMMAND gzip -9nkf ${made}/changelog
  DEPENDS ${made}/changelog)
add_custom_target(perrev_installable ALL DEPENDS ${made}/copyright ${made}/changelog.gz)
add_dependencies(perrev_installable perrev perrev_manual_files)

install(FILES README.md LICENSE ${made}/copyright ${made}/changelog.gz DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(DIRECTORY docs DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(FILES ${manual}/perrev.1.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES ${manual}/perrev.bash RENAME perrev DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions)
install(FILES ${manual}/_perrev DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/site-functions)
install(FILES ${CMAKE_CURRENT_LIST_DIR}/perrev.service DESTINATION lib/systemd/system)

set(CPACK_GENERATOR DEB)
set(CPACK_VERBATIM_VARIABLES ON)
set(CPACK_PACKAGE_NAME perrev)
set(CPACK_PACKAGE_VERSION ${PROJECT_VERSION})
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_PERREV_EPOCH ${PERREV_EPOCH})
set(CPACK_PRE_BUILD_SCRIPTS ${CMAKE_CURRENT_LIST_DIR}/finish_package.cmake)
set(CPACK_POST_BUILD_SCRIPTS ${CMAKE_CURRENT_LIST_DIR}/rewrite_package.cmake)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_COMPRESSION_TYPE xz)
set(CPACK_DEBIAN_PACKAGE_MAINTAINER "perrev maintainers <maintainers@perrev.example>")
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "diagnose vibration complaints of vehicles")
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION "\
Helps a technician turn \"it shakes\" into a vehicle that runs smooth: asks the
right questions at write-up, works out which rotating part turns as fast as the
vibration, ranks the likely causes with the facts for and against each of them,
and says what to do next.

The rule base is plain YAML, the reasoning exact probability. A server gives
the cases of a shop to browsers; its service is off until it is enabled.")
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)
set(CPACK_DEBIAN_PACKAGE_CONTROL_EXTRA
  "${CMAKE_CURRENT_LIST_DIR}/postinst;${CMAKE_CURRENT_LIST_DIR}/prerm;${CMAKE_CURRENT_LIST_DIR}/postrm")
include(CPack)
