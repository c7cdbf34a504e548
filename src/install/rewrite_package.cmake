# Run by cpack on the package it made, which has the builder's umask in it: Debian's own tool writes the same without.
set(ENV{SOURCE_DATE_EPOCH} ${CPACK_PERREV_EPOCH})
set(folder ${CPACK_TEMPORARY_DIRECTORY}-again)
foreach(package IN LISTS CPACK_PACKAGE_FILES)
  execute_process(COMMAND dpkg-deb --raw-extract ${package} ${folder} COMMAND_ERROR_IS_FATAL ANY)
  execute_process(COMMAND chmod -R u=rwX,go=rX ${folder} COMMAND_ERROR_IS_FATAL ANY)
  execute_process(COMMAND dpkg-deb --root-owner-group --build ${folder} ${package} COMMAND_ERROR_IS_FATAL ANY)
endforeach()
