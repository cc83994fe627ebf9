//! Small dense matrices: what the fit needs and no more. Not for: anything large.

/// A square symmetric matrix by rows.
pub(super) type Square = Vec<Vec<f64>>;

/// A matrix of zeros.
pub(super) fn zeros(size: usize) -> Square {
    vec![vec![0.0; size]; size]
}

/// The lower triangle L with `L L^T = matrix`; `None` when it is not positive definite.
pub(super) fn cholesky(matrix: &Square) -> Option<Square> {
    let size = matrix.len();
    let mut lower = zeros(size);
    for row in 0..size {
        for column in 0..=row {
            let dot: f64 = (0..column).map(|k| lower[row][k] * lower[column][k]).sum();
            let rest = matrix[row][column] - dot;
            if row == column {
                if rest.is_nan() || rest <= 0.0 {
                    return None;
                }
                lower[row][row] = rest.sqrt();
            } else {
                lower[row][column] = rest / lower[column][column];
            }
        }
    }
    Some(lower)
}

/// Solves `L L^T x = right`.
pub(super) fn solve_cholesky(lower: &Square, right: &[f64]) -> Vec<f64> {
    let size = lower.len();
    let mut x = right.to_vec();
    for row in 0..size {
        let dot: f64 = (0..row).map(|k| lower[row][k] * x[k]).sum();
        x[row] = (x[row] - dot) / lower[row][row];
    }
    for row in (0..size).rev() {
        let dot: f64 = (row + 1..size).map(|k| lower[k][row] * x[k]).sum();
        x[row] = (x[row] - dot) / lower[row][row];
    }
    x
}

/// `lower x`.
pub(super) fn lower_times(lower: &Square, x: &[f64]) -> Vec<f64> {
    (0..lower.len()).map(|row| (0..=row).map(|k| lower[row][k] * x[k]).sum()).collect()
}

/// Solves `L x = right`.
pub(super) fn solve_lower(lower: &Square, right: &[f64]) -> Vec<f64> {
    let mut x = right.to_vec();
    for row in 0..lower.len() {
        let dot: f64 = (0..row).map(|k| lower[row][k] * x[k]).sum();
        x[row] = (x[row] - dot) / lower[row][row];
    }
    x
}

/// Eigenvalues and eigenvectors (as rows) of a symmetric matrix by Jacobi's rotations, largest first.
///
/// # Source
/// Textbook; accurate to rounding for the few dozen rows met here.
pub(super) fn eigen(matrix: &Square) -> Vec<(f64, Vec<f64>)> {
    const MOST_SWEEPS: usize = 60;
    let size = matrix.len();
    let mut a = matrix.clone();
    let mut vectors = zeros(size);
    for (i, row) in vectors.iter_mut().enumerate() {
        row[i] = 1.0;
    }
    for _ in 0..MOST_SWEEPS {
        let off: f64 =
            (0..size).flat_map(|i| (0..i).map(move |j| (i, j))).map(|(i, j)| a[i][j].powi(2)).sum();
        let on: f64 = (0..size).map(|i| a[i][i].powi(2)).sum();
        if off <= 1e-22 * on.max(1e-300) {
            break;
        }
        for p in 0..size {
            for q in p + 1..size {
                if a[p][q] == 0.0 {
                    continue;
                }
                let theta = 0.5 * (a[q][q] - a[p][p]) / a[p][q];
                let tangent = theta.signum() / (theta.abs() + (theta * theta + 1.0).sqrt());
                let tangent = if theta == 0.0 { 1.0 } else { tangent };
                let cosine = 1.0 / (tangent * tangent + 1.0).sqrt();
                let sine = tangent * cosine;
                for row in &mut a {
                    let (ap, aq) = (row[p], row[q]);
                    row[p] = cosine * ap - sine * aq;
                    row[q] = sine * ap + cosine * aq;
                }
                let (head, tail) = a.split_at_mut(q);
                for (ap, aq) in head[p].iter_mut().zip(&mut tail[0]) {
                    let (x, y) = (*ap, *aq);
                    *ap = cosine * x - sine * y;
                    *aq = sine * x + cosine * y;
                }
                let (head, tail) = vectors.split_at_mut(q);
                for (vp, vq) in head[p].iter_mut().zip(&mut tail[0]) {
                    let (x, y) = (*vp, *vq);
                    *vp = cosine * x - sine * y;
                    *vq = sine * x + cosine * y;
                }
            }
        }
    }
    let mut pairs: Vec<(f64, Vec<f64>)> =
        vectors.into_iter().enumerate().map(|(i, v)| (a[i][i], v)).collect();
    pairs.sort_by(|x, y| y.0.total_cmp(&x.0));
    pairs
}

/// Dot product.
pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn example() -> Square {
        vec![vec![4.0, 1.0, 0.5], vec![1.0, 3.0, -0.2], vec![0.5, -0.2, 2.0]]
    }

    #[test]
    fn cholesky_solves() {
        let lower = cholesky(&example()).unwrap();
        let x = solve_cholesky(&lower, &[1.0, 2.0, 3.0]);
        for (row, right) in example().iter().zip([1.0, 2.0, 3.0]) {
            assert!((dot(row, &x) - right).abs() < 1e-12);
        }
        assert!(cholesky(&vec![vec![1.0, 2.0], vec![2.0, 1.0]]).is_none());
    }

    #[test]
    fn eigenvectors_belong_to_their_values() {
        for (value, vector) in eigen(&example()) {
            for (row, component) in example().iter().zip(&vector) {
                assert!((dot(row, &vector) - value * component).abs() < 1e-10);
            }
            assert!((dot(&vector, &vector) - 1.0).abs() < 1e-12);
        }
    }
}
