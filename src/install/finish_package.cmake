# Run by cpack on what is to be packed. Debian's zsh has a folder of its own for packages; and what
# the clock and the builder's umask left on the files goes, so that the same source gives the same package.
set(ENV{SOURCE_DATE_EPOCH} ${CPACK_PERREV_EPOCH})
set(root ${CPACK_TEMPORARY_DIRECTORY})
file(RENAME ${root}/usr/share/zsh/site-functions ${root}/usr/share/zsh/vendor-completions)
execute_process(COMMAND chmod -R u=rwX,go=rX ${root} COMMAND_ERROR_IS_FATAL ANY)
execute_process(COMMAND find ${root} -exec touch -h -d @${CPACK_PERREV_EPOCH} {} + COMMAND_ERROR_IS_FATAL ANY)
