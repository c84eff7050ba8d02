//! The crate as an app uses it: through its public face alone.

#[cfg(test)]
mod back;
#[cfg(test)]
mod clips;
#[cfg(test)]
mod disputed;
#[cfg(test)]
mod index;
#[cfg(test)]
mod media;
#[cfg(test)]
mod native;
#[cfg(test)]
mod pictures;
#[cfg(test)]
mod rough;
#[cfg(test)]
mod sharp;
#[cfg(test)]
mod sound;
#[cfg(test)]
mod support;
#[cfg(test)]
mod trouble;
#[cfg(test)]
mod two;
#[cfg(test)]
mod waves;
