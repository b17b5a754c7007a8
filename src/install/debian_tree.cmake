# What Debian wants otherwise than a plain installation does; CPack runs it before it packs.
set(staging ${CPACK_TEMPORARY_DIRECTORY})

# Folders that CPack and `file` make take the umask of whoever builds: nobody else could enter /usr/bin.
function(open_folders tree)
  file(GLOB_RECURSE found LIST_DIRECTORIES true ${tree}/*)
  foreach(path ${found})
    if(IS_DIRECTORY ${path} AND NOT IS_SYMLINK ${path})
      file(CHMOD ${path} PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE
                                     WORLD_READ WORLD_EXECUTE)
    endif()
  endforeach()
endfunction()

function(pack file)
  # -n: neither name nor time inside.
  execute_process(COMMAND gzip -9nf ${file} COMMAND_ERROR_IS_FATAL ANY)
endfunction()

function(add_papers tree package)
  set(folder ${tree}/usr/share/doc/${package})
  file(COPY ${CPACK_COOLBAND_DEBIAN_DIR}/copyright DESTINATION ${folder})
  configure_file(${CPACK_COOLBAND_DEBIAN_DIR}/changelog ${folder}/changelog.Debian COPYONLY)
  pack(${folder}/changelog.Debian)
endfunction()

set(program ${staging}/program)
if(EXISTS ${program})
  add_papers(${program} coolband)
  # The licence is in /usr/share/common-licenses.
  file(REMOVE ${program}/usr/share/doc/coolband/LICENSE)
  file(RENAME ${program}/usr/share/doc/coolband/docs/changelog.md ${program}/usr/share/doc/coolband/changelog)
  pack(${program}/usr/share/doc/coolband/changelog)
  file(GLOB pages ${program}/usr/share/man/man1/*.1)
  foreach(page ${pages})
    pack(${page})
  endforeach()
  # Debian's zsh looks here for completions of packages.
  if(EXISTS ${program}/usr/share/zsh/site-functions)
    file(RENAME ${program}/usr/share/zsh/site-functions ${program}/usr/share/zsh/vendor-completions)
  endif()
endif()
if(EXISTS ${staging}/development)
  add_papers(${staging}/development libcoolband-dev)
endif()
foreach(tree ${program} ${staging}/development)
  open_folders(${tree})
endforeach()
